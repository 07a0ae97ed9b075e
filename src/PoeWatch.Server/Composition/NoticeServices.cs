using PoeWatch.Channels;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Notices;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Composition;

/// <summary>Makes roles and channels of the settings.</summary>
public static class NoticeServices
{
    /// <exception cref="SettingsException">The settings of notices are not usable; the message has every problem.</exception>
    public static IServiceCollection AddPoeWatchNotices(this IServiceCollection services, NoticeOptions options, ICredentialSource credentials, TimeProvider time)
    {
        NoticeRoutes routes = NoticeRoutes.Of(options, out var wrongRoutes);
        var channels = ChannelFactory.Create(options, credentials, time, out var wrongChannels);
        string[] wrong = [.. wrongChannels, .. wrongRoutes];
        if (wrong.Length > 0)
        {
            throw new SettingsException(string.Join(Environment.NewLine, wrong));
        }

        foreach (INoticeChannel channel in channels)
        {
            services.AddSingleton(channel);
        }

        return services.AddSingleton(routes).AddSingleton(Microsoft.Extensions.Options.Options.Create(options));
    }
}
