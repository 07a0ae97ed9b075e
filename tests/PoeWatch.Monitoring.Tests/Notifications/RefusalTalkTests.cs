using System.Net;
using PoeWatch.Monitoring.Notifications;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Monitoring.Tests.Notifications;

public sealed class RefusalTalkTests
{
    private static readonly IPAddress Quay = IPAddress.Parse("192.0.2.1");
    private readonly RefusalTalk _talk = new();

    [Fact]
    public void A_refusal_is_told_once_for_each_reason_and_again_after_a_quiet_time()
    {
        Assert.True(IsNews(NotificationRefusal.WrongCommunity, 0));
        Assert.False(IsNews(NotificationRefusal.WrongCommunity, 1));
        Assert.True(IsNews(NotificationRefusal.TooMany, 1));

        // It goes on every five minutes: never quiet for ten.
        Assert.DoesNotContain(true, Enumerable.Range(1, 20).Select(i => IsNews(NotificationRefusal.WrongCommunity, 5 * i)));
        Assert.True(IsNews(NotificationRefusal.WrongCommunity, 111));
    }

    [Fact]
    public void A_flood_of_addresses_is_told_once_and_remembered_within_bounds()
    {
        var said = Enumerable.Range(0, 5000).Select(i => _talk.Note(new IPAddress([198, 51, (byte)(i >> 8), (byte)i]), NotificationRefusal.UnknownSender, TimeSpan.FromSeconds(i / 100.0))).ToList();

        Assert.Equal((1000, 1), (said.Count(s => s.IsNews), said.Count(s => s.IsFull)));
        Assert.True(IsNews(NotificationRefusal.UnknownSender, 30));
    }

    private bool IsNews(NotificationRefusal why, double minutes) => _talk.Note(Quay, why, TimeSpan.FromMinutes(minutes)).IsNews;
}
