#!/bin/sh
# Starts Mosquitto once the proxy has got the certificate. Then has it read its files anew when nodes
# were added, passwords changed or the certificate was renewed, and start anew with another
# configuration.
trap 'exit 0' TERM INT
until [ -r "$CERTIFICATE" ]; do
  echo "waiting for the certificate $CERTIFICATE, which the proxy gets"
  sleep 2 &
  wait $!
done

files() { cat /broker/passwords /broker/access-rules "$CERTIFICATE"; }
configuration() { cat /broker/mosquitto.conf; }

(
  known=$(files)
  started_with=$(configuration)
  while sleep 5; do
    [ "$(configuration)" = "$started_with" ] || kill -TERM 1
    now=$(files)
    [ "$now" = "$known" ] || kill -HUP 1
    known=$now
  done
) &

exec mosquitto -c /broker/mosquitto.conf
