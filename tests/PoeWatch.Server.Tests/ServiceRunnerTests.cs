using System.Net;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using PoeWatch.Server.Commands;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Tests;

public class ServiceRunnerTests
{
    [Fact]
    public async Task An_address_that_is_not_this_machine_s_is_named_with_the_way_out()
    {
        // RFC 5737: 192.0.2.0/24 is for documentation, so no machine has an address in it.
        await using WebApplication app = App(IPAddress.Parse("192.0.2.1"));
        using var errors = new StringWriter();
        TextWriter before = Console.Error;
        Console.SetError(errors);
        try
        {
            var code = await ServiceRunner.RunAsync(app, Settings("192.0.2.1"), "", TestContext.Current.CancellationToken);

            Assert.Equal(ExitCodes.NotUsable, code);
        }
        finally
        {
            Console.SetError(before);
        }

        Assert.Contains("192.0.2.1", errors.ToString(), StringComparison.Ordinal);
        Assert.Contains("listen.address", errors.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_service_that_ends_by_a_fault_of_its_own_does_not_say_that_all_went_well()
    {
        await using WebApplication app = App(IPAddress.Loopback, services => services.AddHostedService<Broken>());

        var code = await ServiceRunner.RunAsync(app, Settings("127.0.0.1"), "", TestContext.Current.CancellationToken);

        Assert.Equal(ExitCodes.Failed, code);
    }

    // A store that is a server is not opened by the runner, so these tests need none.
    private static ServerSettings Settings(string address) => new() { Listen = { Address = address, Port = 0 }, Store = { Postgres = "Host=nowhere" } };

    private static WebApplication App(IPAddress address, Action<IServiceCollection>? more = null)
    {
        WebApplicationBuilder builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(address, 0));
        more?.Invoke(builder.Services);
        return builder.Build();
    }

    private sealed class Broken(IHostApplicationLifetime lifetime) : BackgroundService
    {
        protected override async Task ExecuteAsync(CancellationToken stoppingToken)
        {
            var started = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            await using CancellationTokenRegistration registration = lifetime.ApplicationStarted.Register(started.SetResult);
            await started.Task;
            throw new InvalidOperationException("a bug");
        }
    }
}
