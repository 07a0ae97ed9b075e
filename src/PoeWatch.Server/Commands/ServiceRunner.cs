using System.Net.Sockets;
using Microsoft.AspNetCore.Connections;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Notifications;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary>Starts the service, says where it is, and waits for its end.</summary>
internal static class ServiceRunner
{
    public static async Task<int> RunAsync(WebApplication app, ServerSettings settings, string greeting, CancellationToken stop)
    {
        // An embedded store that cannot be used is a reason not to start; a database server may come up later.
        if (!Stores.IsServer(settings.Store))
        {
            await app.Services.GetRequiredService<StoreGate>().TryOpenAsync(stop);
        }

        try
        {
            await app.StartAsync(stop);
        }
        catch (NotificationPortException unbound)
        {
            await Console.Error.WriteLineAsync(unbound.Message);
            await app.StopAsync(CancellationToken.None);
            return ExitCodes.NotUsable;
        }
        catch (Exception unbound) when (unbound is SocketException or IOException { InnerException: AddressInUseException or SocketException })
        {
            // A port that is taken comes wrapped; an address of another machine and a port for root alone come bare.
            await Console.Error.WriteLineAsync(
                $"TCP port {settings.Listen.Port} on {settings.Listen.Address} cannot be listened on: {(unbound.InnerException ?? unbound).Message}. Is another service there? Choose another port with --port. Is the address this machine's own? Correct listen.address.");
            // What has begun is stopped in order; torn down at once, it would log its end as a fault.
            await app.StopAsync(CancellationToken.None);
            return ExitCodes.NotUsable;
        }

        var addresses = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()?.Addresses ?? [];
        Console.WriteLine($"PoeWatch {ProductVersion.Text} listens. Open {string.Join(" or ", addresses)}/");
        if (greeting.Length > 0)
        {
            Console.WriteLine(greeting);
        }

        await app.WaitForShutdownAsync(stop);

        // A loop that ended by a bug stops the service, and its log says why: whoever watches over the process has to start it again.
        var isFaulted = app.Services.GetServices<IHostedService>().OfType<BackgroundService>().Any(s => s.ExecuteTask is { IsFaulted: true });
        return isFaulted ? ExitCodes.Failed : ExitCodes.Good;
    }
}
