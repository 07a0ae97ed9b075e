using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// The textbook's backward-forward sweep: currents from the volts found last, volts from those currents, until nothing moves. Slow near
/// collapse and without any proof, but it shares no step with the product's method. Null where it does not settle.
/// </summary>
internal sealed class PlainSweep(CableRun run, IReadOnlyDictionary<string, Power> demand, OperatingMode mode)
{
    private const int MostSweeps = 20_000;
    private readonly Dictionary<string, double> _volts = [];
    private readonly Dictionary<string, SegmentByHand> _segments = [];
    private double _change;
    private bool _isCollapsed;

    public Dictionary<string, double> Volts => _volts;

    /// <summary>Watts at the PSE.</summary>
    public double? Solve()
    {
        for (var sweep = 0; sweep < MostSweeps; sweep++)
        {
            _change = 0;
            var source = SourceVolts(run.Source.NominalVoltage, run.Source.Type);
            var amperes = Amperes(run.Root, source);
            Lower(run.Root, source, run.Source.Type);
            if (_isCollapsed)
            {
                return null;
            }

            if (_change < 1e-13)
            {
                return source * amperes;
            }
        }

        return null;
    }

    private double Amperes(FlowNode place, double feedVolts)
    {
        var volts = _volts.GetValueOrDefault(place.ElementId, feedVolts);
        var named = demand.GetValueOrDefault(place.ElementId).Watts;
        if (place.Kind == FlowNodeKind.Device)
        {
            return named / volts;
        }

        var outputVolts = OutputVolts(place) ?? volts;
        var outputWatts = named + place.Children.Sum(child => outputVolts * Amperes(child, outputVolts));
        var own = (place.Extender?.OwnDraw ?? place.PassThrough!.OwnDraw).Watts;
        return (own + (outputWatts / (place.PassThrough?.Efficiency.Fraction ?? 1.0))) / volts;
    }

    private void Lower(FlowNode place, double feedVolts, PoeType feed)
    {
        var amperes = Amperes(place, feedVolts);
        if (!_segments.TryGetValue(place.ElementId, out var segment))
        {
            _segments[place.ElementId] = segment = SegmentByHand.Of(place.Incoming, mode, feed);
        }

        var volts = feedVolts - (amperes * segment.OhmsAt(amperes));
        _isCollapsed |= volts <= 0;
        _change = Math.Max(_change, Math.Abs(volts - _volts.GetValueOrDefault(place.ElementId, feedVolts + 1)));
        _volts[place.ElementId] = volts;
        var outputVolts = OutputVolts(place);
        var below = outputVolts is null ? feed : PoeTables.TypeForOutput(place.PassThrough!.OutputLimit);
        foreach (var child in place.Children)
        {
            Lower(child, outputVolts ?? volts, below);
        }
    }

    private double? OutputVolts(FlowNode place) => place.PassThrough is { OutputVoltage: { } regulated } converter
        ? SourceVolts(regulated, PoeTables.TypeForOutput(converter.OutputLimit))
        : null;

    private double SourceVolts(Voltage nominal, PoeType type) => mode == OperatingMode.Guaranteed && PoeTables.LimitsOf(type) is { } limits
        ? Math.Min(nominal.Volts, limits.PseMinimumVoltage.Volts)
        : nominal.Volts;
}
