namespace PoeWatch.Domain.Design.Config;

/// <summary>What is written at an element goes before what its kind says.</summary>
public static class KindExtensions
{
    public static ExtenderConfig Like(this ExtenderConfig written, ExtenderConfig kind) => written with
    {
        InputLimitWatts = written.InputLimitWatts ?? kind.InputLimitWatts,
        OwnDrawWatts = written.OwnDrawWatts ?? kind.OwnDrawWatts,
        Outputs = written.Outputs ?? kind.Outputs,
        OutputLimitWatts = written.OutputLimitWatts ?? kind.OutputLimitWatts,
    };

    public static PassThroughSwitchConfig Like(this PassThroughSwitchConfig written, PassThroughSwitchConfig kind) => written with
    {
        InputLimitWatts = written.InputLimitWatts ?? kind.InputLimitWatts,
        OwnDrawWatts = written.OwnDrawWatts ?? kind.OwnDrawWatts,
        EfficiencyPercent = written.EfficiencyPercent ?? kind.EfficiencyPercent,
        OutputVolts = written.OutputVolts ?? kind.OutputVolts,
        Outputs = written.Outputs ?? kind.Outputs,
        OutputLimitWatts = written.OutputLimitWatts ?? kind.OutputLimitWatts,
        TotalLimitWatts = written.TotalLimitWatts ?? kind.TotalLimitWatts,
    };

    public static InjectorConfig Like(this InjectorConfig written, InjectorConfig kind) => written with
    {
        RatingWatts = written.RatingWatts ?? kind.RatingWatts,
        OutputVolts = written.OutputVolts ?? kind.OutputVolts,
        Type = written.Type ?? kind.Type,
    };
}
