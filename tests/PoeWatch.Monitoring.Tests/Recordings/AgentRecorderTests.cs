using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Recordings;
using PoeWatch.Snmp;
using PoeWatch.TestKit.Snmp;

namespace PoeWatch.Monitoring.Tests.Recordings;

/// <summary>Recording agents on loopback, sound ones and broken ones.</summary>
public sealed class AgentRecorderTests : IAsyncDisposable
{
    private const string Community = "tide-table";

    private readonly ScriptedAgent _agent = new(Community);
    private readonly SnmpClient _client = new(TimeProvider.System);

    public AgentRecorderTests()
    {
        Put("1.3.6.1.2.1.1.2.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.32473.1")));
        Put("1.3.6.1.2.1.1.5.0", SnmpValue.Text("quay"));
        for (var port = 1; port <= 40; port++)
        {
            Put($"1.3.6.1.2.1.105.1.1.1.6.1.{port}", SnmpValue.Integer32(3));
        }

        Put("1.3.6.1.4.1.32473.5.0", SnmpValue.Integer32(5));
        Put("1.3.6.1.6.3.18.1.1.1.2.1", SnmpValue.Text("other-community"));
    }

    [Fact]
    public async Task A_sound_agent_is_recorded_whole_in_order_and_once()
    {
        AgentRecording recording = (await RecordAsync())!;

        Assert.Empty(recording.Missing);
        Assert.Equal(42, recording.Cells.Length);
        Assert.Equal(recording.Cells.Select(c => c.Oid).Distinct().Order(), recording.Cells.Select(c => c.Oid));
        Assert.Equal("1.3.6.1.4.1.32473.1", recording.ObjectId);
    }

    [Fact]
    public async Task What_is_asked_for_besides_is_recorded_but_no_community()
    {
        AgentRecording recording = (await RecordAsync("1.3.6.1"))!;

        Assert.Contains(recording.Cells, c => c.Oid == Oid.Parse("1.3.6.1.4.1.32473.5.0"));
        Assert.DoesNotContain(recording.Cells, c => RecordingPlan.IsSecret(c.Oid));
        MissingPart missing = Assert.Single(recording.Missing);
        Assert.Equal(("1.3.6.1", false), (missing.Oid, missing.IsFailure));
    }

    [Fact]
    public async Task A_community_that_the_agent_repeats_is_masked()
    {
        Put("1.3.6.1.2.1.1.6.0", SnmpValue.Text($"shed, read with {Community}!"));

        AgentRecording recording = (await RecordAsync())!;

        Assert.Contains(recording.Cells, c => c.Value == SnmpValue.Text("shed, read with **********!"));
        Assert.DoesNotContain(Community, SnmprecText.Write(recording, []), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_agent_that_goes_in_circles_leaves_what_it_answered_and_the_place_is_named()
    {
        _agent.Table.Circle(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1.40"), Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1.1"));

        AgentRecording recording = (await RecordAsync())!;

        MissingPart missing = Assert.Single(recording.Missing);
        Assert.Equal(("1.3.6.1.2.1.105", true), (missing.Oid, missing.IsFailure));
        Assert.Contains("stepped back", missing.Reason, StringComparison.Ordinal);
        Assert.Equal(42, recording.Cells.Length);
    }

    [Fact]
    public async Task An_agent_that_falls_silent_is_not_asked_for_everything_else()
    {
        _agent.Next(AgentFault.None);
        _agent.Always = AgentFault.Silence;

        AgentRecording recording = (await RecordAsync())!;

        Assert.Empty(recording.Cells);
        Assert.Equal(RecordingLimits.SilencesMax, recording.Missing.Count(m => m.Reason.StartsWith("not answered", StringComparison.Ordinal)));
        Assert.All(recording.Missing.Skip(RecordingLimits.SilencesMax), m => Assert.Contains("silent", m.Reason, StringComparison.Ordinal));
        Assert.DoesNotContain("127.0.0.1", SnmprecText.Write(recording, []), StringComparison.Ordinal);
    }

    [Fact]
    public async Task When_the_time_is_up_what_was_answered_is_kept_and_the_rest_is_named()
    {
        // The system group is among the first that are asked; the request after these is never answered.
        const int Answered = 6;
        var time = new FakeTimeProvider();
        var target = new SnmpTarget(_agent.Endpoint, new CommunityCredentials(Community), SnmpTarget.MaxTimeout, 0);
        _agent.Next([.. Enumerable.Repeat(AgentFault.None, Answered)]);
        _agent.Always = AgentFault.Silence;
        var recording = new AgentRecorder(_client, SheetBook.Empty, time).RecordAsync(target, [], TimeSpan.FromMinutes(5), TestContext.Current.CancellationToken);
        for (var i = 0; i <= Answered; i++)
        {
            await _agent.NextRequestAsync(TestContext.Current.CancellationToken);
        }

        time.Advance(TimeSpan.FromMinutes(5));
        AgentRecording kept = (await recording).Recording!;

        Assert.Contains(kept.Cells, c => c.Value == SnmpValue.Text("quay"));
        Assert.Equal("not answered (the time was up)", kept.Missing[0].Reason);
        Assert.All(kept.Missing.Skip(1), m => Assert.Equal("the time was up before it was asked", m.Reason));
    }

    [Fact]
    public async Task A_silent_agent_leaves_no_recording()
    {
        _agent.Always = AgentFault.Silence;

        Assert.Null(await RecordAsync());
    }

    public async ValueTask DisposeAsync()
    {
        await _client.DisposeAsync();
        await _agent.DisposeAsync();
    }

    private async Task<AgentRecording?> RecordAsync(params string[] also)
    {
        var target = new SnmpTarget(
            _agent.Endpoint, new CommunityCredentials(Community), TimeSpan.FromMilliseconds(_agent.Always == AgentFault.None ? 5_000 : 100), 0);
        var recorder = new AgentRecorder(_client, SheetBook.Empty, TimeProvider.System);
        return (await recorder.RecordAsync(target, also.Select(Oid.Parse), TimeSpan.FromMinutes(5), TestContext.Current.CancellationToken)).Recording;
    }

    private void Put(string oid, SnmpValue value) => _agent.Table.Set(oid, value);
}
