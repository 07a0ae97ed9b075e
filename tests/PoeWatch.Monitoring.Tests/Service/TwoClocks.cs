namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>A system clock that can be set, beside a monotonic one that cannot.</summary>
internal sealed class TwoClocks(DateTimeOffset start) : TimeProvider
{
    private DateTimeOffset _wall = start;
    private long _monotonic;

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override DateTimeOffset GetUtcNow() => _wall;

    public override long GetTimestamp() => _monotonic;

    public void Pass(TimeSpan time)
    {
        _wall += time;
        _monotonic += time.Ticks;
    }

    public void Step(TimeSpan by) => _wall += by;
}
