using System.Diagnostics.Metrics;

namespace PoeWatch.Monitoring.Tests;

/// <summary>Makes meters that nobody listens to.</summary>
internal sealed class TestMeters : IMeterFactory
{
    public Meter Create(MeterOptions options) => new(options);

    public void Dispose()
    {
    }
}
