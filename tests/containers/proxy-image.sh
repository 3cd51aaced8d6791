#!/usr/bin/env bash
# Makes the image of the reverse proxy that the tests run, from Debian's packages alone: the package
# with the libraries that its program loads, and a few tools. Does nothing when it is made already.
set -euo pipefail
: "${DOCKER_HOST:?set it to the address of the engine}"

image=lineside-test/caddy:latest
version=$(apt-cache policy caddy | awk '/Candidate:/ { print $2 }')
recipe=$(sha256sum "$0" | cut -c1-12)-$(tr -c 'A-Za-z0-9.\n' _ <<<"$version")
[ "$(docker image inspect -f '{{index .Config.Labels "recipe"}}' $image 2>/dev/null)" \
  = "$recipe" ] && exit

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$work/packages/partial" "$work/root"
# With everything it depends on, as if nothing were installed.
get() {
  apt-get -qq -y -d --no-install-recommends -o Dir::State::status=/dev/null -o Debug::NoLocking=1 \
    -o APT::Sandbox::User=root -o Dir::Cache::archives="$work/packages" install caddy busybox-static
}
# Package lists that are missing or old name files that cannot be had.
get >/dev/null 2>&1 || { apt-get update -qq && get >/dev/null; }
for file in "$work"/packages/*.deb; do dpkg -x "$file" "$work/root"; done
cd "$work/root"
rm -rf usr/share usr/lib/*/{gconv,perl*,libperl*} usr/bin/perl* etc var
mkdir -p bin data config tmp etc
for tool in sh nc cat; do [ -e "bin/$tool" ] || ln -s busybox "bin/$tool"; done
chmod 1777 tmp
tar -c . | docker import --change 'ENV PATH=/usr/bin:/bin' --change "LABEL recipe=$recipe" - \
  $image >/dev/null
