using System.Net;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Transport;

namespace PoeWatch.Snmp.Tests.Transport;

/// <summary>Deadlines against a plain list, and ids in the table of waiting requests.</summary>
public sealed class TimerWheelTests
{
    private static readonly CommunityCredentials Community = new("public");
    private static readonly SnmpTarget Target = new(new IPEndPoint(IPAddress.Loopback, 161), Community);

    private static CommunityRequest Request() => new(Target, Community, new RequestBody(PduType.Get, [Oid.Parse("1.3.6.1")]));

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Wheel_expires_exactly_what_a_plain_list_would(int seed)
    {
        Random random = new(seed);
        TimerWheel wheel = new();
        Dictionary<PendingRequest, long> model = [];
        List<PendingRequest> expired = [];
        long now = 0;
        for (int step = 0; step < 5000; step++)
        {
            int action = random.Next(10);
            if (action < 6)
            {
                CommunityRequest request = Request();
                long due = now + random.Next(-5, 3 * TimerWheel.Slots);
                wheel.Add(request, due);
                model[request] = Math.Max(due, now + 1);
            }
            else if (action < 8 && model.Count > 0)
            {
                PendingRequest request = model.Keys.ElementAt(random.Next(model.Count));
                wheel.Remove(request);
                wheel.Remove(request);
                model.Remove(request);
            }
            else
            {
                now += random.Next(20) == 0 ? random.Next(3 * TimerWheel.Slots) : random.Next(5);
                expired.Clear();
                wheel.Advance(now, expired);
                PendingRequest[] expected = [.. model.Where(entry => entry.Value <= now).Select(entry => entry.Key)];
                Assert.True(expected.ToHashSet().SetEquals(expired), $"seed {seed}, step {step}");
                Assert.Equal(expected.Length, expired.Count);
                Array.ForEach(expected, request => model.Remove(request));
            }
        }
    }

    [Fact]
    public void Ids_are_positive_and_unique_among_the_waiting()
    {
        PendingTable table = new(capacity: 10_000);
        HashSet<int> ids = [];
        for (int i = 0; i < 10_000; i++)
        {
            CommunityRequest request = Request();
            Assert.Equal(SnmpOutcome.Unknown, table.TryAdd(request, 100));
            Assert.InRange(request.Id, 1, int.MaxValue);
            Assert.True(ids.Add(request.Id));
        }

        Assert.Equal(SnmpOutcome.TooManyPending, table.TryAdd(Request(), 100));
    }

    [Fact]
    public void Request_is_claimed_by_one_at_a_time_and_remembered_for_a_while()
    {
        PendingTable table = new(capacity: 10);
        CommunityRequest answered = Request();
        CommunityRequest unanswered = Request();
        table.TryAdd(answered, 1);
        table.TryAdd(unanswered, 1);
        ReadOnlySpan<byte> sender = answered.Target.Address;

        Assert.Equal(Claim.Busy, table.TryClaim(answered.Id, 1, sender, out _)); // being encoded
        Assert.True(table.Release(answered));
        Assert.Equal(Claim.Foreign, table.TryClaim(answered.Id, 3, sender, out _));
        Assert.Equal(Claim.Foreign, table.TryClaim(answered.Id, 1, sender[..^1], out _));
        Assert.Equal(Claim.Granted, table.TryClaim(answered.Id, 1, sender, out PendingRequest? found));
        Assert.Same(answered, found);
        Assert.Equal(Claim.Busy, table.TryClaim(answered.Id, 1, sender, out _));
        table.Settle(answered, answered: true);
        table.Settle(unanswered, answered: false);

        Assert.Equal(Claim.None, table.TryClaim(answered.Id, 1, sender, out _));
        Assert.Equal(0, table.Count);
        Assert.Equal(PastRequest.Answered, table.Recall(answered.Id));
        Assert.Equal(PastRequest.Unanswered, table.Recall(unanswered.Id));
        Assert.Equal(PastRequest.Unknown, table.Recall(answered.Id + 4096));
        Assert.Equal(PastRequest.Unknown, table.Recall(int.MinValue));
    }

    [Fact]
    public void Who_gives_up_finishes_the_request_unless_somebody_is_at_work_on_it()
    {
        PendingTable table = new(capacity: 10);
        CommunityRequest waiting = Request();
        CommunityRequest worked = Request();
        table.TryAdd(waiting, 1);
        table.TryAdd(worked, 1);
        Assert.True(table.Release(waiting));

        Assert.True(table.TryCancel(waiting));
        Assert.False(table.TryCancel(worked));
        Assert.False(table.Release(worked)); // it is for whoever released it to finish
        Assert.Equal(0, table.Count);
    }

    [Fact]
    public void Deadline_of_a_claimed_request_comes_again_at_the_next_tick()
    {
        PendingTable table = new(capacity: 10);
        CommunityRequest request = Request();
        table.TryAdd(request, 5);
        List<PendingRequest> expired = [];

        table.ClaimExpired(6, expired);
        Assert.Empty(expired);
        Assert.True(table.Release(request));
        table.ClaimExpired(7, expired);
        Assert.Same(request, Assert.Single(expired));
    }
}
