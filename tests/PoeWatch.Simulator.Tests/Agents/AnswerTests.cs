using PoeWatch.Simulator.Agents;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Simulator.Tests.Agents;

/// <summary>Get, GetNext and GetBulk at their edges. Source: RFC 3416 sections 4.2.1 to 4.2.3.</summary>
public sealed class AnswerTests
{
    private const string State = "1.3.6.1.2.1.105.1.1.1.6";
    private const string Milliwatts = "1.3.111.2.802.3.1.8.1.1.1.15";
    private const string SysDescr = "1.3.6.1.2.1.1.1.0";
    private const string SysUpTime = "1.3.6.1.2.1.1.3.0";

    private readonly Conversation _agent = new();

    [Fact]
    public void An_absent_instance_and_an_absent_object_are_two_things()
    {
        Assert.Equal(SnmpType.NoSuchInstance, _agent.Get(State + ".1.99").Type);
        Assert.Equal(SnmpType.NoSuchInstance, _agent.Get(State).Type);
        Assert.Equal(SnmpType.NoSuchInstance, _agent.Get(State + ".1.1.1").Type);
        Assert.Equal(SnmpType.NoSuchObject, _agent.Get("1.3.6.1.2.1.105.1.1.1.99.1.1").Type);
        Assert.Equal(SnmpType.NoSuchObject, _agent.Get("1.3.6.1.2.1.105.1.1.1").Type);
        Assert.Equal(SnmpType.NoSuchObject, _agent.Get("0.0").Type);
        Assert.Equal(SnmpType.NoSuchObject, _agent.Get("2.999").Type);
    }

    [Fact]
    public void A_walk_by_GetNext_passes_every_object_once_in_rising_order_and_ends()
    {
        var seen = new List<Oid>();
        var at = "0.0";
        while (true)
        {
            var next = _agent.Ask(PduType.GetNext, 0, 0, at).VarBinds.Single();
            if (next.Value.Type == SnmpType.EndOfMibView)
            {
                Assert.Equal(at, next.Oid.ToString());
                break;
            }

            seen.Add(next.Oid.ToOwned());
            at = next.Oid.ToString();
        }

        Assert.Equal(_agent.Count, seen.Count);
        Assert.All(seen.Zip(seen.Skip(1)), pair => Assert.True(pair.First < pair.Second));
    }

    [Fact]
    public void GetBulk_reads_non_repeaters_once_and_columns_row_by_row()
    {
        var (status, varBinds, _) = _agent.Ask(PduType.GetBulk, 1, 3, "1.3.6.1.2.1.1.3", State, Milliwatts);
        Assert.Equal(SnmpErrorStatus.NoError, status);
        Assert.Equal(
            [SysUpTime, State + ".1.1", Milliwatts + ".1.1", State + ".1.2", Milliwatts + ".1.2", State + ".1.3", Milliwatts + ".1.3"],
            varBinds.Select(varBind => varBind.Oid.ToString()));
    }

    [Fact]
    public void GetBulk_with_more_non_repeaters_than_names_is_a_GetNext()
    {
        var (_, varBinds, _) = _agent.Ask(PduType.GetBulk, 9, 20, State, "1.3.6.1.2.1.1.3");
        Assert.Equal([State + ".1.1", SysUpTime], varBinds.Select(varBind => varBind.Oid.ToString()));
    }

    [Theory]
    [InlineData(0, 0, 0)]
    [InlineData(0, -5, 0)]
    [InlineData(-5, 2, 4)]
    [InlineData(1, 0, 1)]
    public void GetBulk_takes_negative_numbers_as_zero(int nonRepeaters, int maxRepetitions, int varBinds) =>
        Assert.Equal(varBinds, _agent.Ask(PduType.GetBulk, nonRepeaters, maxRepetitions, State, Milliwatts).VarBinds.Length);

    [Fact]
    public void GetBulk_past_the_end_says_so_for_its_column_and_stops_once_all_are_past()
    {
        // The accuracy column is the last of the view: eight ports.
        var last = "1.3.111.2.802.3.1.8.1.1.1.16.1.7";
        var (_, varBinds, _) = _agent.Ask(PduType.GetBulk, 0, 10, last, State + ".1.1");
        Assert.Equal(20, varBinds.Length);
        Assert.Equal("1.3.111.2.802.3.1.8.1.1.1.16.1.8", varBinds[0].Oid.ToString());
        Assert.All(varBinds.Where((_, place) => place % 2 == 0 && place > 0), past =>
        {
            Assert.Equal(SnmpType.EndOfMibView, past.Value.Type);
            Assert.Equal(varBinds[0].Oid, past.Oid);
        });

        var alone = _agent.Ask(PduType.GetBulk, 0, 10, last).VarBinds;
        Assert.Equal([SnmpType.Integer32, SnmpType.EndOfMibView], alone.Select(varBind => varBind.Value.Type));
    }

    [Fact]
    public void GetBulk_fills_a_datagram_and_no_more()
    {
        var (status, varBinds, size) = _agent.Ask(PduType.GetBulk, 0, 2000, "1.3.6.1.2.1.1");
        Assert.Equal(SnmpErrorStatus.NoError, status);
        Assert.InRange(size, SimulatedAgent.MaxMessageSize - 80, SimulatedAgent.MaxMessageSize);
        Assert.True(varBinds.Length > 40);
    }

    [Fact]
    public void A_Get_whose_answer_fits_no_datagram_is_too_big()
    {
        var (status, varBinds, size) = _agent.Ask(PduType.Get, 0, 0, [.. Enumerable.Repeat(SysDescr, 100)]);
        Assert.Equal(SnmpErrorStatus.TooBig, status);
        Assert.Empty(varBinds);
        Assert.True(size < 60);
    }

    [Fact]
    public void A_wrong_community_meets_silence() =>
        Assert.Empty(_agent.Send(_agent.Request(PduType.Get, "public", 0, 0, SysUpTime)));

    [Fact]
    public void A_request_to_change_something_meets_silence()
    {
        var request = _agent.Request(PduType.Get, Conversation.Community, 0, 0, "1.3.6.1.2.1.105.1.1.1.3.1.1");
        Assert.NotEmpty(_agent.Send(request));
        // 0xA3 is the tag of RFC 3416's SetRequest-PDU.
        request[request.AsSpan().IndexOf((byte)PduType.Get)] = 0xA3;
        Assert.Empty(_agent.Send(request));
    }

    [Fact]
    public void Damaged_datagrams_meet_silence_and_do_no_harm()
    {
        var whole = _agent.Request(PduType.GetBulk, Conversation.Community, 1, 5, SysUpTime, State);
        var chance = new Random(20260);
        for (var round = 0; round < 5000; round++)
        {
            var damaged = whole.ToArray();
            damaged[chance.Next(damaged.Length)] = (byte)chance.Next(256);
            _agent.Send(damaged.AsSpan(0, chance.Next(damaged.Length + 1)));
        }

        Assert.NotEmpty(_agent.Send(whole));
    }
}
