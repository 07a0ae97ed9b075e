using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// pethPsePortActualPower of IEEE Std 802.3.1 (IEEE8023-POWER-ETHERNET-MIB, column 15, milliwatts at the PSE) with pethPsePortPowerAccuracy
/// (column 16, plus or minus milliwatts); the units are those of clause 30, which the IEEE module ieee802-ethernet-pse repeats.
/// </summary>
/// <param name="table">pethPsePortEntry below the root of IEEE, or below that of RFC 3621: a module that puts these columns there is in circulation.</param>
internal sealed class IeeePowerSource(Oid table, bool isAtRfcRoot) : IDrawSource
{
    private readonly Oid _accuracy = table.Append(16);

    public static IeeePowerSource AtIeeeRoot { get; } = new(Oid.Parse("1.3.111.2.802.3.1.8.1.1.1"), isAtRfcRoot: false);

    public static IeeePowerSource AtRfcRoot { get; } = new(Oid.Parse("1.3.6.1.2.1.105.1.1.1"), isAtRfcRoot: true);

    public string Name => isAtRfcRoot ? "actual power below POWER-ETHERNET-MIB" : "IEEE 802.3.1 actual power";

    public Provenance Best => Provenance.Measured;

    public Oid Marker { get; } = table.Append(15);

    public ImmutableArray<Oid> Fast => [Marker];

    public ImmutableArray<Oid> Slow => [_accuracy];

    public SourceGate Gate(AgentOffer offer) => SourceGate.Pass("pethPsePortActualPower in milliwatts");

    public void Read(DrawFrame frame, DrawSlots into)
    {
        foreach (var (index, value) in frame.Fast.Cells(Marker))
        {
            if (index.Count == 2 && value.TryGetInt64(out var milliwatts) && milliwatts is >= 0 and <= 200_000)
            {
                var accuracy = Math.Max(1, frame.Slow.Number(_accuracy, index) ?? 0);
                into.Put(
                    frame.Ports.Slot(Domain.DrawSheets.SheetIndex.GroupAndPort, index),
                    new PortDraw(Power.FromMilliwatts(milliwatts), Provenance.Measured, Power.FromMilliwatts(accuracy), TimeSpan.Zero));
            }
        }
    }
}
