namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>Waits for conditions of the outside world: looks again and again, for a bounded time, and says what was awaited.</summary>
internal static class Eventually
{
    /// <summary>Bound where nothing else is asked: far above what is needed, so that a busy machine does not fail a good build.</summary>
    public static readonly TimeSpan Within = TimeSpan.FromSeconds(60);

    private static readonly TimeSpan Step = TimeSpan.FromMilliseconds(100);

    /// <summary>Looks until something other than null is found and returns it.</summary>
    /// <param name="what">What is awaited, for the message.</param>
    /// <param name="look">Null while it is not there yet.</param>
    /// <param name="state">What is to be said of the world where it never came.</param>
    public static async Task<T> SeeAsync<T>(string what, Func<Task<T?>> look, Func<string> state, TimeSpan? within = null)
        where T : class
    {
        var bound = within ?? Within;
        var began = TimeProvider.System.GetTimestamp();
        while (true)
        {
            if (await look() is { } found)
            {
                return found;
            }

            var elapsed = TimeProvider.System.GetElapsedTime(began);
            Assert.True(elapsed < bound, $"Not seen within {bound.TotalSeconds} s: {what}.{Environment.NewLine}{state()}");
            await Task.Delay(Step, TimeProvider.System, TestContext.Current.CancellationToken);
        }
    }

    /// <summary>Looks until the condition holds.</summary>
    public static Task HoldsAsync(string what, Func<Task<bool>> look, Func<string> state, TimeSpan? within = null) =>
        SeeAsync<object>(what, async () => await look() ? new object() : null, state, within);
}
