using PoeWatch.Domain.Evidence.Reports;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>What an export of evidence is of: kind "site", "pole", "switch" or "port", and the id; empty for the site.</summary>
public sealed record EvidenceScope(string Kind, string Id)
{
    public static EvidenceScope Site { get; } = new("site", string.Empty);
}

/// <summary>An export of [From, To) that somebody asks for; it covers the quarter-hours that these lie in.</summary>
public sealed record EvidenceRequest(DateTimeOffset From, DateTimeOffset To, EvidenceScope Scope);

/// <summary>Writes evidence of a period: rows, designs, alarms, proofs and a signed manifest. Implementations are thread safe.</summary>
public interface IEvidenceExports
{
    /// <summary>Writes the files into an empty folder, with bounded memory. What keeps it from being written comes back as text for people; null where it was written.</summary>
    /// <exception cref="StoreException">The store is away.</exception>
    Task<string?> WriteAsync(EvidenceRequest request, string folder, CancellationToken cancellationToken);
}

/// <summary>Makes the report of a month, for paper. Implementations are thread safe.</summary>
public interface IEvidenceReports
{
    /// <summary>The month that a day lies in, in the zone of the site; null where it has not begun.</summary>
    /// <exception cref="StoreException">The store is away.</exception>
    Task<MonthlyEvidence?> BuildAsync(DateOnly month, CancellationToken cancellationToken);
}
