#!/usr/bin/env bash
# A Docker engine of this checkout alone: own socket, data, bridge and containerd namespace, ports
# on loopback, no rule of the firewall touched. Needs root and dockerd (Debian: docker.io).
#
#   engine.sh up PID    start it unless it runs, make the images, print DOCKER_HOST;
#                       it stays while a process that asked for it lives
#   engine.sh down PID  PID needs it no more
#   engine.sh run COMMAND...
#
# Ends with status 3 and one line of reason where no engine can be had. A DOCKER_HOST that is set
# and answers is used instead; it is neither started nor stopped here.
set -euo pipefail

here=$(cd "$(dirname "$0")" && pwd)
name=lineside-$(sha256sum <<<"$here" | cut -c1-8)
bridge=${name/lineside-/ls-}
folder=/var/lib/lineside-test-engines/$name
socket=unix://$folder/docker.sock
# Containers of a killed run; testcontainers puts the label on everything it makes.
label=org.testcontainers=true

no_engine() {
  echo "no Docker engine: $1"
  exit 3
}

answers() { docker version >/dev/null 2>&1; }

engine_pid() { # of our dockerd and nothing else that has its number now
  local pid
  pid=$(cat "$folder/docker.pid" 2>/dev/null) || return 1
  grep -qa -- "$folder/data" "/proc/$pid/cmdline" 2>/dev/null && echo "$pid"
}

locked() { # locked COMMAND...: one at a time in this checkout
  exec 9>"$folder/lock"
  flock 9
  "$@"
  exec 9>&-
}

needed_by_others() { # whether a living process other than $1 holds a lease
  local lease
  for lease in "$folder"/leases/*; do
    [ -e "$lease" ] || continue
    [ "${lease##*/}" = "$1" ] && continue
    kill -0 "${lease##*/}" 2>/dev/null && return 0
    rm -f "$lease"
  done
  return 1
}

free_subnet() { # a number N so that 172.30.N.0/24 is no network of this machine
  local used start n
  used=$(ip -o -4 addr show; ip -4 route show)
  start=$((16#$(sha256sum <<<"$here" | cut -c1-4) % 254))
  for n in $(seq "$start" 253) $(seq 0 "$start"); do
    grep -qF "172.30.$n." <<<"$used" || { echo "$n"; return; }
  done
  no_engine 'every subnet of 172.30.0.0/16 is taken'
}

start() {
  local n
  rm -f "$folder/docker.pid" "$folder/docker.sock"
  mountpoint -q /sys/fs/cgroup || cgroupfs-mount || no_engine 'cannot mount cgroups'
  if ip link show "$bridge" >/dev/null 2>&1; then ip link del "$bridge"; fi
  n=$(free_subnet)
  ip link add "$bridge" type bridge
  ip addr add "172.30.$n.1/25" dev "$bridge"
  ip link set "$bridge" up
  setsid dockerd --data-root "$folder/data" --exec-root "$folder/exec" -H "$socket" \
    --pidfile "$folder/docker.pid" --containerd-namespace "$name" \
    --containerd-plugins-namespace "$name-plugins" --bridge "$bridge" \
    --default-address-pool "base=172.30.$n.128/25,size=29" \
    --iptables=false --ip6tables=false --ip-forward=false --ip-masq=false --ip 127.0.0.1 \
    </dev/null >"$folder/engine.log" 2>&1 9>&- &
  for _ in $(seq 600); do answers && return; sleep 0.1; done
  tail -20 "$folder/engine.log" >&2
  no_engine "dockerd does not answer; see $folder/engine.log"
}

stop() {
  local pid
  if pid=$(engine_pid); then
    kill "$pid"
    for _ in $(seq 300); do kill -0 "$pid" 2>/dev/null || break; sleep 0.1; done
  fi
  ip link del "$bridge" 2>/dev/null || true
}

up() {
  if ! answers; then
    start
    # Whoever asked may be killed; the engine must not stay for ever.
    setsid "$here/engine.sh" watch </dev/null >/dev/null 2>&1 9>&- &
  fi
  if ! needed_by_others "$1"; then
    docker ps -aq --filter "label=$label" | xargs -r docker rm -fv >/dev/null
    docker network prune -f --filter "label=$label" >/dev/null
  fi
  touch "$folder/leases/$1"
  "$here/images.sh" 9>&-
}

down() {
  rm -f "$folder/leases/$1"
  needed_by_others "$1" || stop
}

watch() {
  local pid
  while pid=$(engine_pid); do
    needed_by_others none || { sleep 5; locked down none; }
    sleep 2
  done
}

action=${1:?up, down or run}
shift
command -v docker >/dev/null || no_engine "no command 'docker'"
if [ -n "${DOCKER_HOST:-}" ] && [ "$DOCKER_HOST" != "$socket" ]; then
  answers || no_engine "$DOCKER_HOST does not answer"
  case $action in
    up) "$here/images.sh" && echo "$DOCKER_HOST" ;;
    run) "$here/images.sh" && exec "$@" ;;
  esac
  exit
fi
[ "$(id -u)" = 0 ] || no_engine 'not root, and no DOCKER_HOST is set'
for tool in dockerd iptables ip; do
  command -v $tool >/dev/null || no_engine "no command '$tool' (Debian: docker.io iproute2)"
done
export DOCKER_HOST=$socket
mkdir -p "$folder/leases"
case $action in
  up) locked up "$1" && echo "$DOCKER_HOST" ;;
  down) locked down "$1" ;;
  watch) watch ;;
  run)
    trap 'locked down $$' EXIT
    locked up $$
    export TESTCONTAINERS_RYUK_DISABLED=true TESTCONTAINERS_HOST_OVERRIDE=127.0.0.1
    "$@"
    ;;
  *) echo "engine.sh: '$action' is not up, down or run" >&2; exit 2 ;;
esac
