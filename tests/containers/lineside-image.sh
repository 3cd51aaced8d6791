#!/usr/bin/env bash
# lineside-image.sh IMAGE [OPTION...]: builds IMAGE from this tree, which is installed and built,
# with options of docker build. Its base is made of this machine's own Node; no registry is asked.
set -euo pipefail
: "${DOCKER_HOST:?set it to the address of the engine}"

root=$(cd "$(dirname "$0")/../.." && pwd)
base=lineside-test/node:latest

# Skips stages that are not asked for, which the classic builder does not.
buildkit() {
  local client
  for client in docker /usr/bin/docker; do
    if DOCKER_BUILDKIT=1 "$client" build --help 2>/dev/null | grep -q -- --secret; then
      echo "$client"
      return
    fi
  done
  echo "no client with BuildKit: neither 'docker' nor /usr/bin/docker (Debian: docker.io)" >&2
  return 1
}

make_base() {
  local node libraries recipe
  node=$(readlink -f "$(command -v node)")
  mapfile -t libraries < <(dpkg -L libc6 libstdc++6 libgcc-s1 | grep -E '\.so(\.[0-9]+)*$' |
    while read -r file; do if [ -f "$file" ]; then echo "${file#/}"; fi; done)
  recipe=$(sha256sum "$0" "$node" | sha256sum | cut -c1-12)
  recipe+=-$(dpkg-query -W -f '${Version}_' libc6 libstdc++6 libgcc-s1 | tr -c 'A-Za-z0-9.' _)
  [ "$(docker image inspect -f '{{index .Config.Labels "recipe"}}' $base 2>/dev/null)" \
    = "$recipe" ] && return
  tar -C / -ch "${node#/}" "${libraries[@]}" |
    docker import --change "ENV PATH=$(dirname "$node")" --change "LABEL recipe=$recipe" - $base \
      >/dev/null
}

image=${1:?name of the image}
shift
client=$(buildkit)
# One after another, so that the second finds what the first made.
exec 9>"${TMPDIR:-/tmp}/lineside-test-image.lock"
flock 9
make_base
node "$root/services/lineside/container/prebuilt-context.mjs" |
  DOCKER_BUILDKIT=1 "$client" build --quiet --build-arg "NODE_IMAGE=$base" \
    --build-arg APP=prebuilt "$@" -t "$image" -
