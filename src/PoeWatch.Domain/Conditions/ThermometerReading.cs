using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Conditions;

/// <summary>What a thermometer of the design showed when its agent was last asked. Immutable.</summary>
/// <param name="ThermometerId">Id in the design.</param>
/// <param name="Shown">Null where the agent did not answer or shows no temperature.</param>
/// <param name="At">When it was asked, UTC.</param>
/// <param name="GoodUntil">From then on it is too old to say anything.</param>
/// <param name="Problem">Why it shows nothing, with what to do; empty where it does.</param>
public sealed record ThermometerReading(string ThermometerId, Temperature? Shown, DateTimeOffset At, DateTimeOffset GoodUntil, string Problem)
{
    /// <summary>The temperature where there is one and it is not too old.</summary>
    public Temperature? ShownAt(DateTimeOffset now) => now < GoodUntil ? Shown : null;
}
