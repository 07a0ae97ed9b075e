using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Rollups;

namespace PoeWatch.Api.Contracts;

/// <summary>What one port drew over a period. Only what was known enters a number.</summary>
public sealed record PortDrawContract(
    string PortRef, double? MaxW, double? MeanW, double? MinW, double? EnergyWh, double CoveragePercent, string Provenance)
{
    internal static PortDrawContract From(PortDraw draw) => new(
        draw.Port.ToString(),
        draw.Draw.Max.RoundedW(),
        draw.Draw.Mean.RoundedW(),
        draw.Draw.Min.RoundedW(),
        draw.Draw.Coverage > 0 ? draw.Draw.EnergyWattHours.Rounded() : null,
        (100 * draw.Draw.Coverage).Rounded(),
        draw.Draw.Provenance.Name());
}

/// <summary>The ports that drew most, the most first, over whole days of the site that are over.</summary>
/// <param name="By">What counts: max, mean or energy.</param>
/// <param name="Resolution">What the answer is made of: day.</param>
/// <param name="From">First moment of the first day.</param>
/// <param name="To">End of the last day; equal to <paramref name="From"/> where no such day is over yet.</param>
public sealed record TopDrawsContract(string By, string Resolution, DateTimeOffset From, DateTimeOffset To, IReadOnlyList<PortDrawContract> Ports)
{
    internal static TopDrawsContract Of(string by, DateTimeOffset from, DateTimeOffset to, IEnumerable<PortDraw> top) =>
        new(by, RollupStep.Day.Name(), from, to, [.. top.Select(PortDrawContract.From)]);
}

/// <summary>How long the draw was in [fromW, toW).</summary>
/// <param name="SharePercent">Of the time that a draw was known.</param>
public sealed record HistogramBinContract(double FromW, double ToW, double DurationSeconds, double SharePercent);

/// <summary>How long a port drew how much, over whole days of the site that are over.</summary>
/// <param name="Resolution">What the answer is made of: day.</param>
/// <param name="KnownSeconds">Time that a draw was known; the rest of the period is in no bin.</param>
public sealed record HistogramContract(
    string PortRef, string Resolution, DateTimeOffset From, DateTimeOffset To, double KnownSeconds, double CoveragePercent, IReadOnlyList<HistogramBinContract> Bins)
{
    internal static HistogramContract Of(PsePortRef port, DateTimeOffset from, DateTimeOffset to, DrawHistogram histogram)
    {
        const double WattsPerBin = DrawHistogram.BinMilliwatts / 1_000.0;
        var known = histogram.Total.TotalSeconds;
        return new HistogramContract(
            port.ToString(), RollupStep.Day.Name(), from, to, known, to > from ? (100 * known / (to - from).TotalSeconds).Rounded() : 0,
            [.. histogram.Bins.Select(b => new HistogramBinContract(
                b.Key * WattsPerBin, (b.Key + 1) * WattsPerBin, b.Value.TotalSeconds, (100 * b.Value.TotalSeconds / known).Rounded()))]);
    }
}
