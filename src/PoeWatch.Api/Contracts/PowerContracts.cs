using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Contracts;

/// <summary>Watts at the PSE with how they are known. A ceiling is never given as a draw, and an unknown draw is null, never 0.</summary>
/// <param name="DrawAtPseW">The draw; null where it is not known as a draw.</param>
/// <param name="CeilingAtPseW">What the draw stays under, where only a ceiling is known; else null.</param>
/// <param name="Provenance">measured, derived, reported-by-pd, estimated, off, allocated, lldp, class-bound, nameplate, design or unknown.</param>
public sealed record DrawContract(double? DrawAtPseW, double? CeilingAtPseW, string Provenance)
{
    internal static DrawContract From(KnownPower power) => new(
        power.Provenance.IsDraw() ? power.Watts.RoundedW() : null,
        power.Provenance.IsDraw() ? null : power.Watts.RoundedW(),
        power.Provenance.Name());
}

/// <summary>One limit with its numbers.</summary>
/// <param name="Kind">Such as <c>pse-port</c>, <c>extender-input</c>, <c>pd-voltage</c>.</param>
/// <param name="LimitValue">The limit in <paramref name="Unit"/>.</param>
/// <param name="Value">Where the load stands, in <paramref name="Unit"/>.</param>
/// <param name="Unit">W, V, A, m, ohm, °C or outputs.</param>
/// <param name="Source">Where the limit comes from.</param>
/// <param name="Sentence">The same for people.</param>
public sealed record LimitContract(
    string Kind, string ElementId, double LimitValue, double Value, string Unit, string Source, bool IsBroken, string Sentence)
{
    internal static LimitContract From(LimitMargin limit) => new(
        Names.Of(limit.Kind), limit.ElementId, limit.LimitValue.Rounded(), limit.Value.Rounded(), limit.Unit, limit.Source, limit.IsBroken, limit.Sentence);
}

/// <summary>What is left at one place before the first limit breaks.</summary>
/// <param name="HeadroomW">Watts of a further load at <paramref name="AtElement"/>; negative where a limit is broken already.</param>
/// <param name="AtLeast">True where only a ceiling or the design is known: then at least this much is left.</param>
/// <param name="AtElement">The far end of the run.</param>
/// <param name="BindingLimit">The first limit that one more watt would break.</param>
public sealed record HeadroomContract(double HeadroomW, bool AtLeast, string AtElement, LimitContract BindingLimit)
{
    internal static HeadroomContract From(RunAssessment cableRun) => new(
        cableRun.Headroom.Watts.RoundedW(), cableRun.IsAtLeast, cableRun.Headroom.AtElement, LimitContract.From(cableRun.Headroom.Binding));
}

/// <summary>Numbers as the API writes them: to the milliwatt, which is what history keeps.</summary>
internal static class Rounding
{
    public static double RoundedW(this Power power) => Rounded(power.Watts);

    public static double? RoundedW(this Power? power) => power?.RoundedW();

    public static double Rounded(this double value) => Math.Round(value, 3, MidpointRounding.AwayFromZero);
}
