using PoeWatch.Domain.Evidence.Reports;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>Evidence that remembers what it was asked for.</summary>
internal sealed class FakeEvidence : IEvidenceExports, IEvidenceReports
{
    public EvidenceRequest? Asked { get; private set; }

    /// <summary>The folder of the last export.</summary>
    public string Folder { get; private set; } = "";

    public string? Refusal { get; set; }

    public async Task<string?> WriteAsync(EvidenceRequest request, string folder, CancellationToken cancellationToken)
    {
        (Asked, Folder) = (request, folder);
        Directory.CreateDirectory(Path.Combine(folder, "designs"));
        await File.WriteAllTextAsync(Path.Combine(folder, "raw.csv"), "record\r\n", cancellationToken);
        await File.WriteAllTextAsync(Path.Combine(folder, "designs", "a.yaml"), "format: poewatch-design/1\n", cancellationToken);
        return Refusal;
    }

    public Task<MonthlyEvidence?> BuildAsync(DateOnly month, CancellationToken cancellationToken) => Task.FromResult(
        month > DateOnly.FromDateTime(Harbour.Now.UtcDateTime)
            ? null
            : new MonthlyEvidence("Skerry <Haven>", "UTC", month, Harbour.Now.AddDays(-20), Harbour.Now, false, Harbour.Now, "1.2.3", [], [], [], [], [], []));
}
