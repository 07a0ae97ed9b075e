namespace PoeWatch.Snmp.Tests;

/// <summary>Waits for something that another thread is about to do; bounded, and says what it waited for.</summary>
internal static class Conditions
{
    public static async Task UntilAsync(Func<bool> condition, string what)
    {
        long start = TimeProvider.System.GetTimestamp();
        while (!condition())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(start) < TimeSpan.FromSeconds(10), $"waited 10 s for: {what}");
            await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, TestContext.Current.CancellationToken);
        }
    }
}
