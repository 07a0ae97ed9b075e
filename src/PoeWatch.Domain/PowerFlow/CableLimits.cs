using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Holds the segment to each place against what its copper, its jacket and its data bear.</summary>
internal static class CableLimits
{
    /// <summary>Cords that a channel of derated length still has, at 20 °C: 10 m (ANSI/TIA-568-C.2 Annex G).</summary>
    private const double CordMeters = 10.0;

    /// <summary>Adds what a further load can break: amperes, and the temperature where the current makes it.</summary>
    internal static void Add(FlowState state, int index, List<LimitCheck> checks)
    {
        var tree = state.Tree;
        var segment = tree.Place(index).Incoming;
        if (PoeTables.LimitsOf(tree.FeedOf(index)) is { } limits)
        {
            checks.Add(new LimitCheck(LimitKind.PairCurrent, index, limits.MaximumCurrent(segment.Pairs).Amperes, state.Amperes[index]));
            if (segment.Pairs == 4)
            {
                var most = segment.Installation.PairsetLimit ?? PairUnbalance.PairsetLimit(limits);
                var higher = PairUnbalance.HigherPairset(Current.FromAmperes(state.Amperes[index]), segment.Installation.PairUnbalance);
                checks.Add(new LimitCheck(LimitKind.PairsetCurrent, index, most.Amperes, higher.Amperes));
            }
        }

        if (IsBinding(tree, index))
        {
            checks.Add(Warmth(state, index));
        }
    }

    /// <summary>Adds what people are warned of.</summary>
    internal static void AddAdvice(FlowState state, int index, List<LimitCheck> checks)
    {
        var tree = state.Tree;
        var segment = tree.Place(index).Incoming;
        if (!IsBinding(tree, index))
        {
            checks.Add(Warmth(state, index) with { IsAdvice = true });
        }

        if (tree.LawOf(index).IsWarmedByCurrent)
        {
            var rise = Conductors(state, index).Celsius - segment.Conductor.Celsius + CableHeat.FitMargin;
            checks.Add(new LimitCheck(LimitKind.BundleRise, index, CableHeat.LargestRise, rise) { IsAdvice = true });
        }

        var longest = LengthDerating.LongestCable(Conductors(state, index), segment.Installation.IsScreened).Meters + CordMeters;
        checks.Add(new LimitCheck(LimitKind.DeratedLength, index, longest, segment.Channel.Meters) { IsAdvice = true });

        // A feed outside the standard still runs over a standard channel.
        var limits = PoeTables.LimitsOf(tree.FeedOf(index)) ?? PoeTables.LimitsOf(PoeType.Type2)!.Value;
        checks.Add(new LimitCheck(LimitKind.LoopResistance, index, limits.ChannelLoop(segment.Pairs).Ohms, state.Ohms[index]) { IsAdvice = true });
    }

    // Where the design does not say how warm the cable lies, the usual temperature stands in: enough to warn, too little to refuse a design or a watt.
    private static bool IsBinding(FlowTree tree, int index) =>
        tree.LawOf(index).IsWarmedByCurrent && tree.Place(index).Incoming.Installation.IsTemperatureKnown;

    private static LimitCheck Warmth(FlowState state, int index)
    {
        var margin = state.Tree.LawOf(index).IsWarmedByCurrent ? CableHeat.FitMargin : 0.0;
        var installation = state.Tree.Place(index).Incoming.Installation;
        return new LimitCheck(LimitKind.CableTemperature, index, installation.Rating.Celsius, Conductors(state, index).Celsius + margin);
    }

    private static Temperature Conductors(FlowState state, int index)
    {
        var (degrees, amperes) = (state.Tree.LawOf(index).DegreesPerSquareAmpere, state.Amperes[index]);
        return Temperature.FromCelsius(state.Tree.Place(index).Incoming.Conductor.Celsius + (degrees * amperes * amperes));
    }
}
