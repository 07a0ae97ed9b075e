using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Server.Settings;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Server.Composition;

/// <summary>Chooses the store: PostgreSQL where a connection string is set, else SQLite in the data folder.</summary>
public static class Stores
{
    /// <summary>True where the store is a server of its own, which may come up later than the service.</summary>
    public static bool IsServer(StoreSettings settings) => settings.Postgres is not null || settings.PostgresFile is not null;

    /// <summary>The file of the embedded store.</summary>
    public static string EmbeddedFile(ServerSettings settings) => Path.Combine(DataFolder.Of(settings.DataFolder), "history.db");

    public static IServiceCollection AddPoeWatchStore(this IServiceCollection services, ServerSettings settings)
    {
        services.AddSingleton<ISpoolDisk>(_ => new SpoolFolder(Path.Combine(DataFolder.Of(settings.DataFolder), "spool")));
        services.AddSingleton(sp => new ReadingSpool(
            sp.GetRequiredService<ISpoolDisk>(), (long)settings.Keeper.SpoolMiB << 20, sp.GetRequiredService<ILogger<ReadingSpool>>()));
        if (IsServer(settings.Store))
        {
            services.AddSingleton(new PostgresStoreOptions(ConnectionString(settings.Store), () => ConnectionString(settings.Store)));
            services.AddSingleton<PostgresStore>();
            return AddSeams<PostgresStore>(services);
        }

        services.AddSingleton(new SqliteStoreOptions(EmbeddedFile(settings)));
        services.AddSingleton<SqliteStore>();
        return AddSeams<SqliteStore>(services);
    }

    private static IServiceCollection AddSeams<T>(IServiceCollection services)
        where T : class, IHistoryStore, IPortHistory, IHistoryUpkeep, IAlarmStore, IDesignStore, IConditionStore, IMaintenanceStore, IAgentChangeStore, IRollupStore,
            ISealStore, ILateMarkStore, INoticeStore =>
        services
            .AddSingleton<IRollupStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<ISealStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<ILateMarkStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<LateWatch>()
            .AddSingleton(sp => new LateReadingWatch(sp.GetRequiredService<T>(), sp.GetRequiredService<T>()))
            .AddSingleton<IHistoryStore>(sp => new SealedHistory(
                sp.GetRequiredService<LateReadingWatch>(), sp.GetRequiredService<ISealStore>(), sp.GetRequiredService<ILateMarkStore>(),
                sp.GetRequiredService<LateWatch>()))
            .AddSingleton<IPortHistory>(sp => sp.GetRequiredService<T>())
            .AddSingleton<IHistoryUpkeep>(sp => sp.GetRequiredService<T>())
            .AddSingleton<IAlarmStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<IDesignStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<IConditionStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<IAgentChangeStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<IMaintenanceStore>(sp => sp.GetRequiredService<T>())
            .AddSingleton<INoticeStore>(sp => sp.GetRequiredService<T>());

    /// <exception cref="SettingsException">It is set twice, or its file cannot be read.</exception>
    public static string ConnectionString(StoreSettings settings)
    {
        if (settings is { Postgres: not null, PostgresFile: not null })
        {
            throw new SettingsException("store.postgres and store.postgresFile are both set. Keep one.");
        }

        try
        {
            return settings.Postgres ?? File.ReadAllText(settings.PostgresFile!).Trim();
        }
        catch (Exception unreadable) when (unreadable is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"store.postgresFile: '{settings.PostgresFile}' cannot be read: {unreadable.Message}", unreadable);
        }
    }
}
