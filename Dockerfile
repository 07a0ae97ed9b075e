# syntax=docker/dockerfile:1
FROM mcr.microsoft.com/dotnet/sdk:10.0 AS build
WORKDIR /source

# Project files first: packages are restored again only when one of these changes.
COPY config/build/ config/build/
COPY src/Directory.Build.props src/
COPY src/PoeWatch.Domain/PoeWatch.Domain.csproj src/PoeWatch.Domain/
COPY src/PoeWatch.Snmp/PoeWatch.Snmp.csproj src/PoeWatch.Snmp/
COPY src/PoeWatch.DesignFiles/PoeWatch.DesignFiles.csproj src/PoeWatch.DesignFiles/
COPY src/PoeWatch.Monitoring/PoeWatch.Monitoring.csproj src/PoeWatch.Monitoring/
COPY src/PoeWatch.Storage.Sqlite/PoeWatch.Storage.Sqlite.csproj src/PoeWatch.Storage.Sqlite/
COPY src/PoeWatch.Storage.Postgres/PoeWatch.Storage.Postgres.csproj src/PoeWatch.Storage.Postgres/
COPY src/PoeWatch.Channels/PoeWatch.Channels.csproj src/PoeWatch.Channels/
COPY src/PoeWatch.Api/PoeWatch.Api.csproj src/PoeWatch.Api/
COPY src/PoeWatch.Evidence/PoeWatch.Evidence.csproj src/PoeWatch.Evidence/
COPY src/PoeWatch.Simulator/PoeWatch.Simulator.csproj src/PoeWatch.Simulator/
COPY src/PoeWatch.Server/PoeWatch.Server.csproj src/PoeWatch.Server/
RUN dotnet restore src/PoeWatch.Server

COPY .editorconfig ./
COPY config/ config/
COPY src/ src/
RUN dotnet publish src/PoeWatch.Server -c Release --no-restore -o /app \
    && mkdir /data

FROM mcr.microsoft.com/dotnet/aspnet:10.0
WORKDIR /app
COPY --from=build /app ./
# The base image's user without privileges; a named volume takes its owner from here.
COPY --from=build --chown=$APP_UID:$APP_UID /data /data
ENV POEWATCH_dataFolder=/data \
    DOTNET_CLI_TELEMETRY_OPTOUT=1 \
    DOTNET_EnableDiagnostics=0
VOLUME /data
EXPOSE 8460
USER $APP_UID
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=15s --timeout=5s --start-period=30s --retries=3 CMD ["/app/poewatch", "health"]
ENTRYPOINT ["/app/poewatch"]
CMD ["serve"]
