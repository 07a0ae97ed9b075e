using PoeWatch.Evidence.Exports;
using PoeWatch.Evidence.Reports;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Service;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Composition;

/// <summary>Puts sealing and exports of evidence together.</summary>
public static class EvidenceServices
{
    public static IServiceCollection AddPoeWatchEvidence(this IServiceCollection services, EvidenceOptions options) => services
        .AddSingleton(Microsoft.Extensions.Options.Options.Create(options))
        .AddSingleton<IEvidenceSigner>(Signer(options.KeyFile))
        .AddSingleton<EvidenceSources>()
        .AddSingleton<IEvidenceReports, MonthlyEvidenceBuilder>()
        .AddSingleton<IEvidenceExports>(sp => new EvidenceExports(
            sp.GetRequiredService<EvidenceSources>(),
            sp.GetRequiredService<IEvidenceSigner>(),
            sp.GetRequiredService<ServiceIdentity>(),
            () => sp.GetRequiredService<ClockWatch>().LastStep,
            sp.GetRequiredService<TimeProvider>()));

    /// <exception cref="SettingsException">The key cannot be used.</exception>
    private static EvidenceSigner Signer(string? file)
    {
        if (file is null)
        {
            return EvidenceSigner.None;
        }

        try
        {
            return EvidenceSigner.TryTake(File.ReadAllText(file), out var problem)
                ?? throw new SettingsException($"evidence.keyFile: '{file}' cannot be used: {problem}. 'poewatch seal-key --out NAME' makes a pair of keys.");
        }
        catch (Exception unreadable) when (unreadable is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"evidence.keyFile: '{file}' cannot be read: {unreadable.Message}", unreadable);
        }
    }
}
