using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling.Changes;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Monitoring.Polling.Interfaces;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>One poll over SNMP: tables of RFC 3621, up time, and the best columns of watts that the agent has. Thread safe for different targets.</summary>
public sealed class SnmpSwitchReader(
    SnmpClient client, ICredentialSource credentials, SheetBook sheets, IOptions<PollingOptions> options, TimeProvider time)
    : ISwitchReader
{
    private static readonly TimeSpan ResolveAgain = TimeSpan.FromMinutes(5);

    // Asking why takes requests of its own, so it is done when a silence begins and then now and then.
    private const int DiagnoseEvery = 10;

    // Twice what the largest chassis and stacks have: common practice, no source. More is a broken agent, or one that wants to flood us.
    private const int PortsMax = 2_000;

    // A neighbour that comes and goes all the time must not cost a survey at each poll.
    private static readonly TimeSpan SurveyPause = TimeSpan.FromMinutes(1);

    private readonly long _start = time.GetTimestamp();
    private readonly BulkWalker _walker = new(client, time);
    private readonly SharedRequests _requests = new();
    private readonly ConcurrentDictionary<string, AgentSession> _sessions = new(StringComparer.Ordinal);

    public async Task<SwitchReading> ReadAsync(PollTarget target, CancellationToken cancellationToken)
    {
        AgentSession session = SessionOf(target);
        DateTimeOffset began = time.GetUtcNow();
        if (credentials.Find(target.Agent.Credentials, out var problem) is not { } secret)
        {
            return Failed(target, began, PollOutcome.Refused, problem);
        }

        if (await ResolveAsync(target.Agent.Address, session, cancellationToken).ConfigureAwait(false) is not { } address)
        {
            return Failed(
                target, began, PollOutcome.Silent, $"The name '{target.Agent.Address}' cannot be resolved. Check the name in the design and this machine's DNS.");
        }

        SnmpTarget agent = session.Target(address, secret, options.Value);
        if (target.IsOneRequest && await OneRequestAsync(target, agent, began, cancellationToken).ConfigureAwait(false) is { } unanswered)
        {
            return unanswered;
        }

        using WalkResult walk = await _walker.WalkAsync(agent, Request(session), session.Walk, cancellationToken).ConfigureAwait(false);
        cancellationToken.ThrowIfCancellationRequested();
        if (!walk.HasAnswer)
        {
            return await SilenceAsync(target, agent, session, walk, began, cancellationToken).ConfigureAwait(false);
        }

        session.Silences = 0;
        session.Diagnosis = string.Empty;
        TimeSpan? upTime = UpTime(walk);
        ImmutableArray<AgentChange> changes = session.Changes.Note(PulseReader.Read(
            time.GetElapsedTime(_start), upTime, walk.Instances[3].Value, walk.Instances[4].Value, walk.Instances[5].Value, walk.Columns[0]));
        if (!changes.IsEmpty)
        {
            session.Restart(ChangeWatch.IsReplaced(changes));
        }

        using SurveyAnswer? survey = await SurveyAsync(agent, session, walk, !changes.IsEmpty, cancellationToken).ConfigureAwait(false);
        if (survey is not null)
        {
            changes = await IdentifyAsync(agent, session, survey, changes, cancellationToken).ConfigureAwait(false);
        }

        ImmutableArray<PortEvents> events = await CountersAsync(target, agent, session, cancellationToken).ConfigureAwait(false);
        SwitchReading reading = Answered(target, session, walk, survey, upTime, began);
        return changes.IsEmpty && events.IsEmpty ? reading : reading with { Changes = changes, PortEvents = events };
    }

    public void Keep(IReadOnlyDictionary<string, PollTarget> targets)
    {
        foreach (var gone in _sessions.Keys.Where(id => !targets.ContainsKey(id)))
        {
            if (_sessions.TryRemove(gone, out AgentSession? session) && session.Endpoint is { } endpoint && !_sessions.Values.Any(s => endpoint.Equals(s.Endpoint)))
            {
                client.Forget(endpoint);
            }
        }
    }

    /// <summary>The cheapest question there is, for an agent that cannot be expected to answer; null where it does.</summary>
    private async Task<SwitchReading?> OneRequestAsync(PollTarget target, SnmpTarget agent, DateTimeOffset began, CancellationToken cancellationToken)
    {
        var once = new SnmpTarget(agent.Endpoint, agent.Credentials, agent.Timeout, retries: 0, alsoAnswersFrom: agent.AlsoAnswersFrom);
        var asked = time.GetTimestamp();
        SnmpResult result = await client.GetAsync(once, [PoeOids.UpTime], cancellationToken).ConfigureAwait(false);
        cancellationToken.ThrowIfCancellationRequested();
        return result.Outcome is SnmpOutcome.Timeout or SnmpOutcome.Unreachable
            ? Failed(target, began + time.GetElapsedTime(asked), PollOutcome.Silent, $"No answer; it is asked rarely and with one request while '{target.Upstream}', which it is reached over, is silent too.")
            : null;
    }

    // What was learned of one agent says nothing of another that a new design puts in its place.
    private AgentSession SessionOf(PollTarget target) => _sessions.AddOrUpdate(
        target.PseId,
        _ => new AgentSession(target.Agent),
        (_, known) => known.Agent == target.Agent ? known : new AgentSession(target.Agent));

    private WalkRequest Request(AgentSession session)
    {
        DrawPlan plan = session.Draws.Plan;
        if (session.Request is not { } known || !ReferenceEquals(known.Plan, plan))
        {
            Oid[] columns = [PoeOids.PortState, PoeOids.PortClass, PoeOids.GroupBudget, PoeOids.GroupStatus, PoeOids.GroupDraw, .. plan.Fast];
            known = (plan, _requests.Of(
                [.. columns.Distinct()],
                PoeOids.UpTime, InterfaceOids.RemoteChanged, InterfaceOids.TableChanged, PulseReader.EngineId, PulseReader.EngineBoots, PulseReader.SystemUpTime));
            session.Request = known;
        }

        return known.Request;
    }

    private SwitchReading Answered(
        PollTarget target, AgentSession session, WalkResult walk, SurveyAnswer? survey, TimeSpan? upTime, DateTimeOffset began)
    {
        FastAnswers poll = FastAnswers.Of(walk, survey?.Walk);
        if (survey is not null)
        {
            session.Draws.Take(target.PseId, survey, poll);
            session.Survey = survey with { Offer = session.Draws.Offer };
            session.Priorities = PoeTableRows.Priorities(target.PseId, survey.Offer.Slow);
        }

        DecodedPoll decoded = session.Draws.Decode(target, poll, survey is null ? time.GetElapsedTime(session.SurveyedAt) : TimeSpan.Zero, upTime);
        ImmutableArray<PortReading> ports = session.Draws.Prioritised(session.Priorities);
        if (ports.Length > PortsMax)
        {
            return Failed(target, began + walk.Duration, PollOutcome.Malformed, FormattableString.Invariant(
                $"The agent shows {ports.Length} ports, more than any switch has ({PortsMax} are taken). Is it the right device, and is its software sound?"));
        }

        PollOutcome outcome = ports.IsEmpty && walk.IsComplete ? PollOutcome.NoPoe : walk.IsComplete ? PollOutcome.Answered : PollOutcome.Partial;
        var detail = outcome switch
        {
            PollOutcome.NoPoe => "The agent answers but shows no port of POWER-ETHERNET-MIB (1.3.6.1.2.1.105). Is it the right device, and may these credentials see that tree?",
            PollOutcome.Partial => $"The agent answered only a part ({walk.Ending}): {walk.Failure?.Summary ?? "its answers stepped back or were empty."}",
            _ => string.Empty,
        };
        ImmutableDictionary<PsePortRef, PortInterface> interfaces = survey is null
            ? ImmutableDictionary<PsePortRef, PortInterface>.Empty
            : InterfaceReader.Read(session.Draws.Mapped, survey.Offer.Slow);
        session.Odd = survey is null ? session.Odd : IntentCheck.Check(interfaces, target.Intents);
        return new SwitchReading(target.PseId, 0, began + walk.Duration, outcome, detail, upTime, ports, decoded.Groups)
        {
            InterfaceNames = survey is null ? ImmutableDictionary<PsePortRef, string>.Empty : interfaces.ToImmutableDictionary(i => i.Key, i => i.Value.Name),
            Interfaces = interfaces,
            Findings = session.Odd.IsEmpty ? decoded.Findings : [.. decoded.Findings, .. session.Odd],
        };
    }

    private async Task<SwitchReading> SilenceAsync(
        PollTarget target, SnmpTarget agent, AgentSession session, WalkResult walk, DateTimeOffset began, CancellationToken cancellationToken)
    {
        SnmpResult? failure = walk.Failure;
        SnmpOutcome cause = failure?.Outcome ?? SnmpOutcome.Unknown;
        if (cause == SnmpOutcome.Timeout && session.Silences % DiagnoseEvery == 0)
        {
            SnmpOutcome found = (await client.DiagnoseSilenceAsync(agent, cancellationToken).ConfigureAwait(false)).Outcome;
            var (why, refusal) = PollFailure.Explain(target, found, agent.Credentials is CommunityCredentials, string.Empty);

            // Only a refusal explains a silence that lasts; an agent that answers now or is unreachable may be plainly silent the next time.
            session.Diagnosis = why == PollOutcome.Refused ? refusal : string.Empty;
        }

        session.Silences++;
        var (outcome, detail) = PollFailure.Explain(target, cause, agent.Credentials is CommunityCredentials, failure?.Summary ?? string.Empty);
        return session.Diagnosis.Length > 0 && cause == SnmpOutcome.Timeout
            ? Failed(target, began + walk.Duration, PollOutcome.Refused, session.Diagnosis)
            : Failed(target, began + walk.Duration, outcome, detail);
    }

    /// <summary>Asks what the agent has, where that is not known or may have changed; null where it need not be asked or did not say.</summary>
    private async Task<SurveyAnswer?> SurveyAsync(
        SnmpTarget agent, AgentSession session, WalkResult walk, bool restarted, CancellationToken cancellationToken)
    {
        var changed = (Number(walk.Instances[1]), Number(walk.Instances[2]));
        TimeSpan since = time.GetElapsedTime(session.SurveyedAt);
        var isDue = session.Survey is null || since >= options.Value.NamesPeriod || changed != session.ChangedAt;
        if (session.HasTriedSurvey && !restarted && (!isDue || since < SurveyPause))
        {
            return null;
        }

        SurveyAnswer? survey = await new AgentSurvey(client, _walker, sheets, _requests)
            .AskAsync(agent, session.Walk, session.Agent.DrawColumn, session.Survey, cancellationToken).ConfigureAwait(false);
        (session.HasTriedSurvey, session.SurveyedAt, session.ChangedAt) = (true, time.GetTimestamp(), changed);
        session.Survey = survey ?? session.Survey;
        return survey;
    }

    /// <summary>Reads what tells one switch from another; a replacement that only this shows is a change like those that the poll shows.</summary>
    private async Task<ImmutableArray<AgentChange>> IdentifyAsync(
        SnmpTarget agent, AgentSession session, SurveyAnswer survey, ImmutableArray<AgentChange> sofar, CancellationToken cancellationToken)
    {
        var serial = await PulseReader.SerialAsync(client, agent, cancellationToken).ConfigureAwait(false);
        ImmutableArray<AgentChange> changes = session.Changes.Note(survey.Offer.ObjectId, serial, sofar);
        if (ChangeWatch.IsReplaced(changes) && !ChangeWatch.IsReplaced(sofar))
        {
            session.Restart(isReplaced: true);
            session.Survey = survey;
        }

        return changes;
    }

    /// <summary>The medium set of objects, where it is due; what its walk does not bring is read the next time.</summary>
    private async ValueTask<ImmutableArray<PortEvents>> CountersAsync(
        PollTarget target, SnmpTarget agent, AgentSession session, CancellationToken cancellationToken)
    {
        TimeSpan now = time.GetElapsedTime(_start);
        if (session.Counters.AskedAt is { } asked && now - asked < options.Value.CountersPeriod)
        {
            return [];
        }

        session.Counters.AskedAt = now;
        using WalkResult walk = await _walker.WalkAsync(agent, PortCounterWatch.Request, session.Walk, cancellationToken).ConfigureAwait(false);
        return walk.HasAnswer ? session.Counters.Take(target.PseId, walk.Columns, now) : [];
    }

    private static long Number(VarBind cell) => cell.Value.TryGetInt64(out var number) ? number : -1;

    private ValueTask<IPAddress?> ResolveAsync(string name, AgentSession session, CancellationToken cancellationToken) =>
        session.Written is { } written ? ValueTask.FromResult<IPAddress?>(written) : new ValueTask<IPAddress?>(ResolveNameAsync(name, session, cancellationToken));

    private async Task<IPAddress?> ResolveNameAsync(string name, AgentSession session, CancellationToken cancellationToken)
    {
        if (session.Resolved is not null && session.ResolvedFrom == name && time.GetElapsedTime(session.ResolvedAt) < ResolveAgain)
        {
            return session.Resolved;
        }

        try
        {
            IPAddress[] found = await Dns.GetHostAddressesAsync(name, cancellationToken).ConfigureAwait(false);
            if (found.Length > 0)
            {
                (session.Resolved, session.ResolvedFrom, session.ResolvedAt) = (found[0], name, time.GetTimestamp());
            }
        }
        catch (SocketException)
        {
            // The name server is away or does not know the name: the last good address is better than none.
        }

        return session.ResolvedFrom == name ? session.Resolved : null;
    }

    // TimeTicks ends at 32 bits; what an agent sends in a wider type may be no time at all.
    private static TimeSpan? UpTime(WalkResult walk) =>
        walk.Instances[0].Value.TryGetUInt64(out var ticks) && ticks <= uint.MaxValue ? TimeSpan.FromMilliseconds(ticks * 10.0) : null;

    private static SwitchReading Failed(PollTarget target, DateTimeOffset at, PollOutcome outcome, string detail) =>
        new(target.PseId, 0, at, outcome, detail, null, [], []);
}
