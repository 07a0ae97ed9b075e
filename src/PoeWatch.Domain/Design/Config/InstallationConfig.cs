namespace PoeWatch.Domain.Design.Config;

/// <summary>
/// What a cable is made of and how it hangs, as written: at the cable itself or, under <c>cable-defaults</c>, for every cable that does not say otherwise. Each key is looked for by itself.
/// </summary>
public sealed record InstallationConfig(WrittenAt At)
{
    public Written<string>? GaugeAwg { get; init; }

    public Written<string>? Category { get; init; }

    public Written<string>? Material { get; init; }

    public Written<string>? ConductorCelsius { get; init; }

    public Written<string>? AmbientCelsius { get; init; }

    public Written<string>? SunHeated { get; init; }

    public Written<string>? RatedCelsius { get; init; }

    public Written<string>? CordLengthMeters { get; init; }

    public Written<string>? CordGaugeAwg { get; init; }

    public Written<string>? CordLoopOhms { get; init; }

    public Written<string>? CordCelsius { get; init; }

    public Written<string>? Contacts { get; init; }

    public Written<string>? ContactOhms { get; init; }

    public Written<string>? BundledCables { get; init; }

    public Written<string>? PairUnbalancePercent { get; init; }

    public Written<string>? PairsetLimitAmperes { get; init; }

    public Written<string>? Screened { get; init; }
}
