# The image of Lineside: Node, the built command and what both load; no shell, npm or compiler.
#
#   docker build --build-arg SOURCE_DATE_EPOCH=$(git log -1 --format=%ct) -t lineside:0.1.0 .
#
# Where no registry can be reached, NODE_IMAGE may be any image of glibc with Node and, unless
# APP=prebuilt, npm, python3, make and g++. With APP=prebuilt the context is a tree that is
# installed and built already, for the same platform and Node.
ARG NODE_IMAGE=node:20.20.2-bookworm
ARG APP=build

# Manifests alone, so that a change of a source does not install everything anew.
FROM ${NODE_IMAGE} AS manifests
COPY . /src
RUN find /src -type f ! -name package.json ! -name package-lock.json ! -name .npmrc -delete \
  && find /src -type d -empty -delete

FROM ${NODE_IMAGE} AS build
# The SQLite driver is compiled here rather than fetched; its headers come with Node.
ENV npm_config_build_from_source=true npm_config_nodedir=/usr/local \
  npm_config_update_notifier=false
WORKDIR /src
COPY --from=manifests /src .
RUN --mount=type=cache,target=/root/.npm npm ci --no-audit --no-fund
COPY . .
RUN npm run build
ARG SOURCE_DATE_EPOCH
RUN ["node", "services/lineside/container/lay-out.mjs", "/image"]

FROM ${NODE_IMAGE} AS prebuilt
WORKDIR /src
COPY . .
ARG SOURCE_DATE_EPOCH
RUN ["node", "services/lineside/container/lay-out.mjs", "/image"]

FROM ${APP} AS app

FROM scratch
COPY --from=app /image/all/ /
# A new volume takes over whom the folder belongs to.
COPY --from=app --chown=10001:10001 /image/own/ /
LABEL org.opencontainers.image.title="Lineside" \
  org.opencontainers.image.licenses="Apache-2.0"
ENV PATH=/usr/local/bin NODE_ENV=production \
  LINESIDE_HEALTH_PORT=9090 LINESIDE_DATA=/data LINESIDE_HTTP_HOST=0.0.0.0 LINESIDE_MQTT_HOST=0.0.0.0
USER 10001:10001
VOLUME /data
EXPOSE 8080 1883
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=30s --timeout=10s --start-period=120s --retries=3 CMD ["lineside", "health"]
ENTRYPOINT ["lineside"]
CMD ["serve"]
