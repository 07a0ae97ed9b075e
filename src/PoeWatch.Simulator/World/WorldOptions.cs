namespace PoeWatch.Simulator.World;

/// <summary>How a simulated world runs.</summary>
public sealed record WorldOptions
{
    /// <value>How often a PSE looks at its ports and refreshes what it shows, as real controllers do; 1 s by default, above zero.</value>
    public TimeSpan RefreshPeriod { get; init; } = TimeSpan.FromSeconds(1);

    /// <value>Step of every port's meter in milliwatts; 1 by default. 100 is common among PSE controllers.</value>
    public int MeterStepMilliwatts { get; init; } = 1;

    /// <value>How the sun's time runs; real time by default.</value>
    public SkyClock Sky { get; init; } = new();

    /// <value>Time that a pass-through switch needs after power came before its agent answers; 15 s by default.</value>
    public TimeSpan BootTime { get; init; } = TimeSpan.FromSeconds(15);

    /// <value>
    /// How long all that is fed at the start had been running before it; not at all by default. A manager lets a switch that just came up wait before it alarms.
    /// </value>
    public TimeSpan RanBefore { get; init; }
}
