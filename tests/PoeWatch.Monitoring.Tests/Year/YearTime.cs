using Microsoft.Extensions.Time.Testing;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>Driven time whose wall clock can be set without its running clock: what NTP or a person does to a machine.</summary>
internal sealed class YearTime(DateTimeOffset start) : FakeTimeProvider(start)
{
    private TimeSpan _set;

    public void SetClock(TimeSpan by) => _set += by;

    public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + _set;

    // The base takes it from the wall clock, which would hide every step.
    public override long GetTimestamp() => base.GetUtcNow().Ticks;
}
