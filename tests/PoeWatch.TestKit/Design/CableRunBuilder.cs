using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.TestKit.Design;

/// <summary>
/// Writes one <see cref="CableRun"/> as a nested expression: <c>OnPort(…, Extender("ext", Cable(80), Device("cam", Cable(20)), …))</c>.
/// Outputs are numbered in the order of the children. It checks nothing. Pure and thread safe.
/// </summary>
public static class CableRunBuilder
{
    /// <summary>A run from port <c>quay-west:1/7</c>.</summary>
    public static CableRun OnPort(FlowNode root, double limitWatts = 90, PoeType type = PoeType.Type4, double volts = 54)
    {
        var port = new PsePortRef("quay-west", 1, 7);
        return FromSource(port.ToString(), new RunSource(Power.FromWatts(limitWatts), type, Voltage.FromVolts(volts), port, null), root);
    }

    /// <summary>An unmetered run from injector <c>inj</c>.</summary>
    public static CableRun OnInjector(FlowNode root, double ratingWatts = 95, PoeType type = PoeType.Type4, double volts = 54) =>
        FromSource("inj", new RunSource(Power.FromWatts(ratingWatts), type, Voltage.FromVolts(volts), null, "inj"), root);

    /// <summary>A place for a device.</summary>
    public static FlowNode Device(string id, CableSegment cable, PoeClass requested = PoeClass.Class4, string? pole = null) =>
        new(FlowNodeKind.Device, id, pole, cable with { Id = $"to-{id}", To = id }, [])
        {
            Device = new PoweredDevice(id, id, $"type-of-{id}", pole, Criticality.Low),
            DeviceType = new DeviceType($"type-of-{id}", id, requested, Power.Zero, ImmutableDictionary<string, Power>.Empty),
        };

    /// <summary>A place for an extender.</summary>
    public static FlowNode Extender(
        string id, CableSegment cable, FlowNode[] children, double inputWatts = 90, double ownWatts = 2, double outputWatts = 60, string? pole = null) =>
        new(FlowNodeKind.Extender, id, pole, cable with { Id = $"to-{id}", To = id }, Hung(id, children))
        {
            Extender = new Extender(id, id, pole, Power.FromWatts(inputWatts), Power.FromWatts(ownWatts), 2, Power.FromWatts(outputWatts)),
        };

    /// <summary>A place for a pass-through switch; its outputs are regulated where <paramref name="outputVolts"/> is given.</summary>
    public static FlowNode PassThrough(
        string id,
        CableSegment cable,
        FlowNode[] children,
        double? outputVolts = 54,
        double efficiency = 0.92,
        double inputWatts = 71.3,
        double ownWatts = 6,
        double outputWatts = 30,
        double totalWatts = 60,
        string? pole = null) =>
        new(FlowNodeKind.PassThroughSwitch, id, pole, cable with { Id = $"to-{id}", To = id }, Hung(id, children))
        {
            PassThrough = new PassThroughSwitch(
                id, id, pole, Power.FromWatts(inputWatts), Power.FromWatts(ownWatts), Ratio.FromFraction(efficiency),
                outputVolts is { } volts ? Voltage.FromVolts(volts) : null, 4, Power.FromWatts(outputWatts), Power.FromWatts(totalWatts), null),
        };

    /// <summary>A stretch of copper.</summary>
    public static CableSegment Cable(double meters, int awg = 24, int pairs = 4, double celsius = 20) =>
        new("cable", default, "", Length.FromMeters(meters), awg, pairs, null, ConductorMaterial.Copper, null, Temperature.FromCelsius(celsius));

    /// <summary>A stretch with this resistance over its powered pairs, in expected mode, given as what a tester would have measured.</summary>
    public static CableSegment Loop(double ohms, int pairs = 4, double meters = 100) =>
        Cable(meters, 24, pairs) with { MeasuredLoop = Resistance.FromOhms(ohms * pairs) };

    private static CableRun FromSource(string id, RunSource source, FlowNode root)
    {
        var start = source.Port is { } port ? new Termination(port.PseId, port.Group, port.Port) : new Termination(id, 1, 1);
        var hung = root with { Incoming = root.Incoming with { From = start } };
        var poles = hung.SelfAndBelow().Select(place => place.PoleId).OfType<string>().Distinct();
        return new CableRun(id, source, hung, [.. poles]);
    }

    private static ImmutableArray<FlowNode> Hung(string parent, FlowNode[] children) =>
        [.. children.Select((child, at) => child with { Incoming = child.Incoming with { From = new Termination(parent, 1, at + 1) } })];
}
