# The hub in a container. Build: docker build -t hearting .
FROM node:22-bookworm AS build
WORKDIR /app
COPY package.json package-lock.json ./
RUN npm ci
COPY . .
RUN npm run build && npm prune --omit=dev

FROM node:22-bookworm-slim
ENV NODE_ENV=production \
    HEARTING_DATA_DIR=/data \
    HEARTING_HTTP_HOST=0.0.0.0 \
    HEARTING_MQTT_HOST=0.0.0.0
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules ./node_modules
COPY --from=build /app/build ./build
COPY --from=build /app/dashboard/dist ./dashboard/dist
RUN mkdir /data && chown node:node /data
USER node
VOLUME /data
EXPOSE 8080 1883
HEALTHCHECK --interval=30s --timeout=5s --start-period=20s \
  CMD ["node", "-e", "fetch('http://127.0.0.1:8080/healthz').then(r => process.exit(r.ok ? 0 : 1), () => process.exit(1))"]
CMD ["node", "build/hub/cli/main.js", "serve"]
