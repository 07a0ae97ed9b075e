using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Snmp.Tests.Notifications;

/// <summary>The receiver on its socket: known and unknown senders, floods, and datagrams of chance.</summary>
public sealed class NotificationReceiverTests : IDisposable
{
    private readonly FakeTimeProvider _time = new();
    private readonly Listener _listener = new();
    private readonly NotificationReceiver _receiver;
    private readonly UdpClient _sender = new(new IPEndPoint(IPAddress.Loopback, 0));

    public NotificationReceiverTests()
    {
        _receiver = new NotificationReceiver(
            new IPEndPoint(IPAddress.Loopback, 0), _listener, new EngineIdentity(NotificationBench.OurEngine, 1), new NotificationRates(5, 100), _time);
        _receiver.Listen();
    }

    [Fact]
    public async Task A_trap_of_a_known_agent_is_handed_over()
    {
        Send(CapturedNotifications.Trap2c);
        await UntilAsync(() => _listener.Taken.Count == 1);

        Assert.Equal(["quay"], _listener.Taken.Single().SenderIds);
        Assert.Equal((1L, 0L), (_receiver.Statistics.Traps, _receiver.Statistics.Informs));
    }

    [Fact]
    public async Task An_unknown_sender_is_counted_and_never_answered()
    {
        _listener.Known = [];
        byte[] inform = CapturedNotifications.Trap2c;
        inform[Array.IndexOf(inform, (byte)0xA7)] = 0xA6;
        Send(inform);
        await UntilAsync(() => _receiver.Statistics.Refused(NotificationRefusal.UnknownSender) == 1);

        Assert.Empty(_listener.Taken);
        Assert.Equal(0, _sender.Available);
    }

    [Fact]
    public async Task A_version_one_trap_is_refused_as_unsupported()
    {
        Send(CapturedNotifications.Trap1);
        await UntilAsync(() => _receiver.Statistics.Refused(NotificationRefusal.Unsupported) == 1);
    }

    [Fact]
    public async Task A_flood_is_cut_to_the_rate_and_the_rest_is_counted()
    {
        for (int i = 0; i < 200; i++)
        {
            Send(CapturedNotifications.Trap2c);
        }

        await UntilAsync(() => _listener.Taken.Count + _listener.Refused.Count == 200);

        // 5 a second and twice as many in a burst; the clock stands still.
        Assert.Equal((10L, 190L), (_receiver.Statistics.Traps, _receiver.Statistics.Refused(NotificationRefusal.TooMany)));
        _time.Advance(TimeSpan.FromSeconds(1));
        for (int i = 0; i < 10; i++)
        {
            Send(CapturedNotifications.Trap2c);
        }

        await UntilAsync(() => _listener.Taken.Count + _listener.Refused.Count == 210);
        Assert.Equal(15, _receiver.Statistics.Traps);
    }

    [Fact]
    public async Task Datagrams_of_chance_are_refused_and_the_receiver_goes_on()
    {
        var random = new Random(20_261_125);
        byte[][] seeds = [CapturedNotifications.Trap2c, CapturedNotifications.Trap3, CapturedNotifications.Trap1];
        const int Count = 2_000;
        for (int i = 0; i < Count; i++)
        {
            byte[] mutated = [.. seeds[i % seeds.Length]];
            for (int change = random.Next(1, 6); change > 0; change--)
            {
                mutated[random.Next(mutated.Length)] = (byte)random.Next(256);
            }

            Send(mutated[..random.Next(mutated.Length + 1)]);
            _time.Advance(TimeSpan.FromSeconds(1));

            // At most a few wait in the socket's buffer, so that none is lost.
            await UntilAsync(() => _listener.Taken.Count + _listener.Refused.Count + _receiver.Statistics.Reports >= i - 10);
        }

        Send(CapturedNotifications.Trap2c);
        await UntilAsync(() => _listener.Taken.Any(n => n.UpTime == TimeSpan.FromSeconds(47.11)));
        Assert.Equal(0, _receiver.Statistics.Faults);
    }

    public void Dispose()
    {
        _receiver.Dispose();
        _sender.Dispose();
    }

    private static Task UntilAsync(Func<bool> reached) => Conditions.UntilAsync(reached, "the receiver to have handled what was sent");

    private void Send(byte[] datagram) => _sender.Send(datagram, datagram.Length, _receiver.LocalEndPoint);

    private sealed class Listener : INotificationListener
    {
        public IReadOnlyList<NotificationSender> Known { get; set; } =
            [new("quay", new CommunityCredentials(CapturedNotifications.Community)), new("mole", CapturedNotifications.Watch())];

        public ConcurrentQueue<SnmpNotification> Taken { get; } = [];

        public ConcurrentQueue<NotificationRefusal> Refused { get; } = [];

        public IReadOnlyList<NotificationSender> At(IPAddress address) => Known;

        public void Accept(SnmpNotification notification) => Taken.Enqueue(notification);

        public void Refuse(IPAddress address, NotificationRefusal why) => Refused.Enqueue(why);
    }
}
