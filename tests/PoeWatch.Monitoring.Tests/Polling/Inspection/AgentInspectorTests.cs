using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Polling.Inspection;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.Inspection;

/// <summary>An agent whose maker nobody wrote a sheet for, below the enterprise number that RFC 5612 sets aside for examples.</summary>
public sealed class AgentInspectorTests : IAsyncDisposable
{
    private readonly ScriptedAgent _agent = new("harbour");
    private readonly SnmpClient _client = new(TimeProvider.System);

    public AgentInspectorTests()
    {
        Put("1.3.6.1.2.1.1.1.0", SnmpValue.Text("switch of the harbour"));
        Put("1.3.6.1.2.1.1.2.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.32473.1.48")));
        Put("1.3.6.1.2.1.1.3.0", SnmpValue.TimeTicks(100));
        Put("1.3.6.1.2.1.1.5.0", SnmpValue.Text("quay"));

        // Port, state (3 delivers), class + 1, then in the maker's tree: state (5), watts in tenths (6), limit (7), a name (8).
        foreach (var (port, state, classification, tenths) in new[] { (1, 3, 4, 127), (2, 3, 4, 64), (3, 2, 1, 0), (4, 3, 5, 251) })
        {
            Put($"1.3.6.1.2.1.105.1.1.1.6.1.{port}", SnmpValue.Integer32(state));
            Put($"1.3.6.1.2.1.105.1.1.1.10.1.{port}", SnmpValue.Integer32(classification));
            Put($"1.3.6.1.4.1.32473.8.1.5.1.{port}", SnmpValue.Integer32(state == 3 ? 1 : 0));
            Put($"1.3.6.1.4.1.32473.8.1.6.1.{port}", SnmpValue.Integer32(tenths));
            Put($"1.3.6.1.4.1.32473.8.1.7.1.{port}", SnmpValue.Integer32(300));
            Put($"1.3.6.1.4.1.32473.8.1.8.1.{port}", SnmpValue.Text("port"));
        }

        Put("1.3.6.1.2.1.105.1.3.1.1.2.1", SnmpValue.Gauge32(370));
        Put("1.3.6.1.2.1.105.1.3.1.1.4.1", SnmpValue.Gauge32(44));
    }

    [Fact]
    public async Task An_unknown_maker_gets_a_skeleton_with_the_one_column_that_behaves_as_watts()
    {
        InspectionReport report = await InspectAsync(SheetBook.Empty);

        Assert.Null(report.SheetName);
        Assert.Contains("fits: [1.3.6.1.4.1.32473.1.48]", report.Skeleton, StringComparison.Ordinal);
        Assert.Contains(
            "  # Adds up to the group's figure in this unit. Largest number: 251.\n  - {holds: draw, oid: 1.3.6.1.4.1.32473.8.1.6, unit: deciwatt, index: group-and-port}\n",
            report.Skeleton, StringComparison.Ordinal);
        Assert.DoesNotContain("8.1.5", report.Skeleton, StringComparison.Ordinal);
        Assert.DoesNotContain("8.1.7", report.Skeleton, StringComparison.Ordinal);
    }

    [Fact]
    public async Task With_the_sheet_completed_the_same_agent_is_measured()
    {
        var sheet = new DrawSheet(
            "quay", "QUAY-MIB", "test", ["1.3.6.1.4.1.32473.1.48"],
            [new SheetColumn(SheetQuantity.Draw, "1.3.6.1.4.1.32473.8.1.6", SheetUnit.Deciwatt, SheetIndex.GroupAndPort, false)], ClassCoding.ClassPlusOne, [], true);

        InspectionReport report = await InspectAsync(new SheetBook([sheet]));

        Assert.Equal(("quay", null), (report.SheetName, report.Skeleton));
        Assert.Equal([12.7, 6.4, 0, 25.1], report.Reading.Ports.Select(p => p.DrawAtPse!.Value.Watts));
        Assert.Contains("units agree: the ports add up to 44.2 W, the group says 44 W", Assert.Single(report.Units), StringComparison.Ordinal);
        InspectedSource chosen = Assert.Single(report.Sources, s => s.IsRead);
        Assert.Equal(("sheet quay", true, true), (chosen.Name, chosen.IsOffered, chosen.Passes));
    }

    [Fact]
    public async Task An_agent_that_does_not_answer_leaves_no_report()
    {
        _agent.Always = AgentFault.Silence;
        var target = new SnmpTarget(_agent.Endpoint, new CommunityCredentials("harbour"), TimeSpan.FromMilliseconds(100), 0);

        var (report, answer) = await new AgentInspector(_client, SheetBook.Empty, TimeProvider.System).InspectAsync(target, TestContext.Current.CancellationToken);

        Assert.Equal((null, SnmpOutcome.Timeout), (report, answer.Outcome));
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private async Task<InspectionReport> InspectAsync(SheetBook book)
    {
        var target = new SnmpTarget(_agent.Endpoint, new CommunityCredentials("harbour"), TimeSpan.FromSeconds(5), 0);
        var (report, _) = await new AgentInspector(_client, book, TimeProvider.System).InspectAsync(target, TestContext.Current.CancellationToken);
        return report!;
    }

    private void Put(string oid, SnmpValue value) => _agent.Table.Set(oid, value);
}
