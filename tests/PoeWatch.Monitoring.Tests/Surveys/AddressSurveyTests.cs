using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Surveys;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Surveys;

/// <summary>Many agents in one survey. LLDP objects: LLDP-MIB (IEEE 802.1AB).</summary>
public sealed class AddressSurveyTests
{
    private const int AgentCount = 24;

    [Fact]
    public async Task Two_dozen_agents_answer_in_the_order_of_the_list_with_their_names_chassis_and_neighbours()
    {
        await using var client = new SnmpClient(TimeProvider.System);
        ScriptedAgent[] agents = [.. Enumerable.Range(1, AgentCount).Select(Agent)];
        agents[4].Always = AgentFault.Silence;
        try
        {
            SnmpTarget[] targets = [.. agents.Select((agent, i) => new SnmpTarget(agent.Endpoint, new CommunityCredentials("harbour"), TimeSpan.FromMilliseconds(i == 4 ? 100 : 10_000), 0))];

            var found = await new AddressSurvey(client, SheetBook.Empty, TimeProvider.System).AskAsync(targets, atOnce: 4, TestContext.Current.CancellationToken);

            Assert.Equal((null, SnmpOutcome.Timeout), (found[4].Report, found[4].Answer.Outcome));
            for (var i = 0; i < AgentCount; i++)
            {
                if (i != 4)
                {
                    Assert.Equal($"quay-{i + 1}", found[i].SystemName);
                    Assert.Equal([Mac(i + 1)], found[i].ChassisIds);
                    Assert.Equal(("uplink", new Neighbour($"quay-{i + 2}", Mac(i + 2), "uplink")), Assert.Single(found[i].Report!.Neighbours));
                    Assert.Equal(i + 1, Assert.Single(found[i].Report!.Reading.Groups).Budget!.Value.Watts);
                }
            }
        }
        finally
        {
            foreach (ScriptedAgent agent in agents)
            {
                await agent.DisposeAsync();
            }
        }
    }

    private static string Mac(int number) => FormattableString.Invariant($"02:00:00:00:00:{number:x2}");

    private static ScriptedAgent Agent(int number)
    {
        var agent = new ScriptedAgent("harbour");
        void Put(string oid, SnmpValue value) => agent.Table.Set(oid, value);
        Put("1.3.6.1.2.1.1.1.0", SnmpValue.Text("switch of the harbour"));
        Put("1.3.6.1.2.1.1.2.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.32473.1.48")));
        Put("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(100));
        Put("1.3.6.1.2.1.1.5.0", SnmpValue.Text($"quay-{number}"));
        Put("1.3.6.1.2.1.31.1.1.1.1.9", SnmpValue.Text("uplink"));
        Put("1.3.6.1.2.1.105.1.1.1.6.1.1", SnmpValue.Integer32(3));
        Put("1.3.6.1.2.1.105.1.1.1.10.1.1", SnmpValue.Integer32(4));
        Put("1.3.6.1.2.1.105.1.3.1.1.2.1", SnmpValue.Gauge32((uint)number));
        Put("1.0.8802.1.1.2.1.3.1.0", SnmpValue.Integer32(4));
        Put("1.0.8802.1.1.2.1.3.2.0", SnmpValue.Octets([2, 0, 0, 0, 0, (byte)number]));
        Put("1.3.111.2.802.1.1.13.1.3.1.0", SnmpValue.Integer32(4));
        Put("1.3.111.2.802.1.1.13.1.3.2.0", SnmpValue.Octets([2, 0, 0, 0, 0, (byte)number]));
        Put("1.0.8802.1.1.2.1.3.7.1.2.9", SnmpValue.Integer32(5));
        Put("1.0.8802.1.1.2.1.3.7.1.3.9", SnmpValue.Text("uplink"));
        Put("1.0.8802.1.1.2.1.4.1.1.4.0.9.1", SnmpValue.Integer32(4));
        Put("1.0.8802.1.1.2.1.4.1.1.5.0.9.1", SnmpValue.Octets([2, 0, 0, 0, 0, (byte)(number + 1)]));
        Put("1.0.8802.1.1.2.1.4.1.1.7.0.9.1", SnmpValue.Text("uplink"));
        Put("1.0.8802.1.1.2.1.4.1.1.9.0.9.1", SnmpValue.Text($"quay-{number + 1}"));
        return agent;
    }
}
