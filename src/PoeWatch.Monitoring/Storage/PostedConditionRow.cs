using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Storage;

/// <summary>How both stores write a posted condition. Pure and thread safe.</summary>
public static class PostedConditionRow
{
    /// <summary>0 none, 1 holds, 2 does not hold.</summary>
    public static short State(PostedCondition word) => word.Holds switch { true => 1, false => 2, null => 0 };

    public static int? AirMillicelsius(PostedCondition word) => word.Air is { } air ? (int)Math.Round(air.Celsius * 1000) : null;

    public static PostedCondition Of(string topic, DateTimeOffset at, string who, int state, int? airMillicelsius, DateTimeOffset? until, string text) => new(
        topic,
        at,
        who,
        state switch { 1 => true, 2 => false, _ => null },
        airMillicelsius is { } air ? Temperature.FromCelsius(air / 1000.0) : null,
        until,
        text);
}
