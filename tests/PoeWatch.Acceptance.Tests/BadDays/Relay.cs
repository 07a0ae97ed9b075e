using System.Net;
using System.Net.Sockets;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.BadDays;

/// <summary>Stands on the wire between the service and an agent and may spoil what the agent answers. UDP on loopback, one asker at a time.</summary>
internal sealed class Relay : IAsyncDisposable
{
    private readonly UdpClient _outer = new(new IPEndPoint(IPAddress.Loopback, FreePort.Udp()));
    private readonly UdpClient _inner = new(new IPEndPoint(IPAddress.Loopback, 0));
    private readonly CancellationTokenSource _stop = new();
    private readonly Task _requests;
    private readonly Task _answers;
    private volatile IPEndPoint? _asker;
    private volatile Func<byte[], byte[]> _spoil = answer => answer;

    public Relay(int agentPort)
    {
        _inner.Connect(IPAddress.Loopback, agentPort);
        _requests = PassRequestsAsync();
        _answers = PassAnswersAsync();
    }

    public int Port => ((IPEndPoint)_outer.Client.LocalEndPoint!).Port;

    /// <summary>From now on every answer goes through this.</summary>
    public void Spoil(Func<byte[], byte[]> spoil) => _spoil = spoil;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await Task.WhenAll(_requests, _answers);
        _outer.Dispose();
        _inner.Dispose();
        _stop.Dispose();
    }

    private Task PassRequestsAsync() => UntilStoppedAsync(async () =>
    {
        var request = await _outer.ReceiveAsync(_stop.Token);
        _asker = request.RemoteEndPoint;
        await _inner.SendAsync(request.Buffer, _stop.Token);
    });

    private Task PassAnswersAsync() => UntilStoppedAsync(async () =>
    {
        var answer = await _inner.ReceiveAsync(_stop.Token);
        if (_asker is { } asker)
        {
            await _outer.SendAsync(_spoil(answer.Buffer), asker, _stop.Token);
        }
    });

    private async Task UntilStoppedAsync(Func<Task> step)
    {
        while (!_stop.IsCancellationRequested)
        {
            try
            {
                await step();
            }
            catch (OperationCanceledException)
            {
                return;
            }
            catch (SocketException)
            {
                // The other side was away for a moment: the next datagram may pass.
            }
        }
    }
}
