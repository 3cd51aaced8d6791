#!/usr/bin/env bash
# Makes the images that the tests run, from Debian's packages alone: a package with everything it
# depends on is unpacked into a folder, and the folder becomes an image. No registry is asked and
# nothing is installed here. Does nothing for an image that has this recipe and these versions.
set -euo pipefail
: "${DOCKER_HOST:?set it to the address of the engine}"
command -v apt-get >/dev/null || { echo 'no Docker engine: its images need apt-get'; exit 3; }

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Asking apt takes more than a second, so once for all.
versions=$(apt-cache policy mosquitto influxdb)

recipe() { # recipe PACKAGE: changes with this file and with the version that Debian offers
  local version
  version=$(awk -v p="$1:" '$1 == p { f = 1 } f && /Candidate:/ { print $2; exit }' <<<"$versions")
  echo "$(sha256sum "$0" | cut -c1-12)-$(tr -c 'A-Za-z0-9.\n' _ <<<"$version")"
}

is_made() { # is_made IMAGE RECIPE
  [ "$(docker image inspect -f '{{index .Config.Labels "recipe"}}' "$1" 2>/dev/null)" = "$2" ]
}

download() { # download PACKAGE...: with everything they depend on, as if nothing were installed
  mkdir -p "$work/packages/partial"
  rm -f "$work"/packages/*.deb
  local get=(apt-get -qq -y -d --no-install-recommends
    -o Dir::State::status=/dev/null -o Debug::NoLocking=1 -o APT::Sandbox::User=root
    -o Dir::Cache::archives="$work/packages" install "$@")
  # Package lists that are missing or old name files that cannot be had.
  "${get[@]}" >/dev/null 2>&1 || { apt-get update -qq && "${get[@]}" >/dev/null; }
}

unpack() { # unpack FOLDER PACKAGE...
  local root=$1 file
  shift
  mkdir -p "$root"
  download "$@" busybox-static
  for file in "$work"/packages/*.deb; do dpkg -x "$file" "$root"; done
  rm -rf "$root"/usr/share/{doc,man,locale,info,perl*,i18n} "$root"/usr/bin/{perl*,influx_*} \
    "$root"/usr/lib/*/{perl*,libperl*,gconv}
  mkdir -p "$root"/{bin,tmp,etc,run,dev,proc,data}
  chmod 1777 "$root/tmp"
  chown 900:900 "$root/data"
  for tool in sh cat ls ps kill nc sleep; do
    [ -e "$root/bin/$tool" ] || ln -s busybox "$root/bin/$tool"
  done
  printf 'root:x:0:0::/:/bin/sh\nserver:x:900:900::/:/bin/sh\n' >"$root/etc/passwd"
  printf 'root:x:0:\nserver:x:900:\n' >"$root/etc/group"
}

import() { # import FOLDER IMAGE RECIPE CHANGE...
  local root=$1 image=$2 recipe=$3 changes=()
  shift 3
  for change in "$@" 'USER server' "LABEL recipe=$recipe"; do changes+=(--change "$change"); done
  tar -C "$root" -c . | docker import "${changes[@]}" - "$image" >/dev/null
}

mosquitto() {
  local image=lineside-test/mosquitto:latest made
  made=$(recipe mosquitto)
  is_made $image "$made" && return
  unpack "$work/mosquitto" mosquitto
  printf '%s\n' 'listener 1883' 'allow_anonymous true' 'log_dest stderr' 'persistence true' \
    'persistence_location /data/' >"$work/mosquitto/etc/mosquitto.conf"
  import "$work/mosquitto" $image "$made" 'EXPOSE 1883' \
    'CMD ["/usr/sbin/mosquitto", "-c", "/etc/mosquitto.conf"]'
}

influxdb() {
  local image=lineside-test/influxdb:latest made
  made=$(recipe influxdb)
  is_made $image "$made" && return
  unpack "$work/influxdb" influxdb
  import "$work/influxdb" $image "$made" 'EXPOSE 8086' \
    'ENV INFLUXDB_REPORTING_DISABLED=true INFLUXDB_MONITOR_STORE_ENABLED=false' \
    'ENV INFLUXDB_META_DIR=/data/meta INFLUXDB_DATA_DIR=/data/data INFLUXDB_DATA_WAL_DIR=/data/wal' \
    'ENV INFLUXDB_HTTP_LOG_ENABLED=false INFLUXDB_DATA_QUERY_LOG_ENABLED=false' \
    'CMD ["/usr/bin/influxd"]'
}

mosquitto
influxdb
