namespace PoeWatch.Acceptance.Tests.Dashboard;

/// <summary>A calm demo in a browser, shared by the tests that change nothing in it.</summary>
public sealed class CalmHarbour : IAsyncLifetime
{
    internal DemoInBrowser Browser { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Browser = await DemoInBrowser.StartAsync("--calm");

    public ValueTask DisposeAsync() => Browser?.DisposeAsync() ?? ValueTask.CompletedTask;
}
