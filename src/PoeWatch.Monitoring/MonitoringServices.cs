using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Alarming;
using PoeWatch.Monitoring.Balance;
using PoeWatch.Monitoring.Conditions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Notices;
using PoeWatch.Monitoring.Notifications;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.Thermometers;
using PoeWatch.Monitoring.Polling.Ups;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Supplies;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring;

/// <summary>Puts the room together. What it needs from outside: stores, design source, credentials, the first view, time and metrics.</summary>
public static class MonitoringServices
{
    public static IServiceCollection AddPoeWatchMonitoring(this IServiceCollection services, AlarmTimings timings)
    {
        services.AddSingleton(timings);
        services.AddSingleton(sp => new SnmpClient(sp.GetRequiredService<TimeProvider>()));
        services.AddSingleton<ISwitchReader, SnmpSwitchReader>();
        services.AddSingleton<PollingMetrics>().AddSingleton<NotificationMetrics>().AddSingleton<StorageMetrics>().AddSingleton<AlarmMetrics>().AddSingleton<NoticeMetrics>();
        services.AddSingleton<NetworkState>().AddSingleton<ReadingIntake>().AddSingleton<ClockWatch>().AddSingleton<AlarmLedger>().AddSingleton<MaintenanceBoard>().AddSingleton<BalanceBook>();
        services.AddSingleton<IThermometerReader, SnmpThermometerReader>();
        services.AddSingleton<IUpsReader, SnmpUpsReader>().AddSingleton<UpsBoard>();
        services.AddSingleton<ConditionBoard>().AddSingleton<IConditionDesk, ConditionDesk>();
        services.AddSingleton<IReadingSink>(sp => sp.GetRequiredService<ReadingIntake>());
        services.AddSingleton<ISiteView>(sp => sp.GetRequiredService<SiteViewHolder>());
        services.AddSingleton<IAlarmDesk>(sp => sp.GetRequiredService<SiteMonitor>());
        services.AddSingleton<IRootPublisher, RootFolder>().AddSingleton<IRootPublisher, RootNotices>();
        services.AddSingleton<IRetentionGuard>(sp => sp.GetRequiredService<SealKeeper>());
        services.AddSingleton<IMaintenanceDesk>(sp => sp.GetRequiredService<SiteMonitor>());
        services.AddSingleton<IDesignDesk, DesignDesk>().AddSingleton<IServiceHealth, ServiceHealthView>();

        services.AddSingleton<RollupMetrics>().AddSingleton<DesignTimeline>().AddSingleton<RollupMaker>().AddSingleton<RollupWriter>().AddSingleton<RollupReader>().AddSingleton<TrendHistory>();
        services.AddSingleton<IRetentionGuard, RollupGuard>();
        services.AddSingleton<INoticeDesk>(sp => sp.GetRequiredService<NoticeLoop>()).AddSingleton<INoticeOutbox>(sp => sp.GetRequiredService<NoticeLoop>());

        // Stopped in the opposite order: first no more polls, then the last assessment, then the last write.
        AddLoop<StoreGate>(services);
        AddLoop<SealKeeper>(services);
        AddLoop<ReadingKeeper>(services);
        AddLoop<Restorer>(services);
        AddLoop<ConditionRestorer>(services);
        AddLoop<BalanceRestorer>(services);
        AddLoop<TrendRestorer>(services);
        AddLoop<HistoryUpkeepLoop>(services);
        AddLoop<RollupKeeper>(services);
        AddLoop<NoticeLoop>(services);
        AddLoop<SiteMonitor>(services);
        AddLoop<PollLoop>(services);
        services.AddSingleton<IPollCounts>(sp => sp.GetRequiredService<PollLoop>());
        AddLoop<ThermometerLoop>(services);
        AddLoop<UpsLoop>(services);
        AddLoop<NotificationLoop>(services);
        return services;
    }

    private static void AddLoop<T>(IServiceCollection services)
        where T : class, IHostedService
    {
        services.AddSingleton<T>();
        services.AddHostedService(sp => sp.GetRequiredService<T>());
    }
}
