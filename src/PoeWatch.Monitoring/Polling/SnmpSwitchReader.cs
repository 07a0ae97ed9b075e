using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>One poll over SNMP: tables of RFC 3621, up time, and the draw column that the design names. Thread safe for different targets.</summary>
public sealed class SnmpSwitchReader(SnmpClient client, ICredentialSource credentials, IOptions<PollingOptions> options, TimeProvider time)
    : ISwitchReader
{
    private static readonly TimeSpan ResolveAgain = TimeSpan.FromMinutes(5);

    // Asking why takes requests of its own, so it is done when a silence begins and then now and then.
    private const int DiagnoseEvery = 10;

    // Twice what the largest chassis and stacks have: common practice, no source. More is a broken agent, or one that wants to flood us.
    private const int PortsMax = 2_000;

    private readonly BulkWalker _walker = new(client, time);
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

        var agent = new SnmpTarget(
            new IPEndPoint(address, target.Agent.UdpPort), secret, options.Value.Timeout, options.Value.Retries);
        DrawColumn? draw = target.Agent.DrawColumn;
        using WalkResult walk = await _walker.WalkAsync(agent, Request(draw), session.Walk, cancellationToken).ConfigureAwait(false);
        cancellationToken.ThrowIfCancellationRequested();
        if (!walk.HasAnswer)
        {
            return await SilenceAsync(target, agent, session, walk, began, cancellationToken).ConfigureAwait(false);
        }

        session.Silences = 0;
        session.Diagnosis = string.Empty;
        TimeSpan? upTime = UpTime(walk);
        ImmutableDictionary<PsePortRef, string> names = await NamesAsync(target, agent, session, walk, upTime, cancellationToken).ConfigureAwait(false);
        return Answered(target, session, walk, upTime, names, began);
    }

    // What was learned of one agent says nothing of another that a new design puts in its place.
    private AgentSession SessionOf(PollTarget target) => _sessions.AddOrUpdate(
        target.PseId,
        _ => new AgentSession(target.Agent),
        (_, known) => known.Agent == target.Agent ? known : new AgentSession(target.Agent));

    private static WalkRequest Request(DrawColumn? draw)
    {
        var columns = new List<Oid>
        {
            PoeOids.PortState, PoeOids.PortClass, PoeOids.GroupBudget, PoeOids.GroupStatus, PoeOids.GroupDraw,
        };
        if (draw is not null)
        {
            columns.Add(Oid.Parse(draw.Oid));
        }

        return new WalkRequest(columns, [PoeOids.UpTime]);
    }

    private static SwitchReading Answered(
        PollTarget target,
        AgentSession session,
        WalkResult walk,
        TimeSpan? upTime,
        ImmutableDictionary<PsePortRef, string> names,
        DateTimeOffset began)
    {
        IReadOnlyDictionary<PsePortRef, Power> draws = target.Agent.DrawColumn switch
        {
            null => ImmutableDictionary<PsePortRef, Power>.Empty,
            { Index: DrawIndex.IfIndex } meaning => PoeTableRows.Draws(walk.Columns[5], meaning, session.Interfaces),
            { } meaning => PoeTableRows.Draws(target.PseId, walk.Columns[5], meaning),
        };
        ImmutableArray<PortReading> ports =
        [
            .. PoeTableRows.Ports(target, walk.Columns[0], walk.Columns[1], draws)
                .Select(p => session.Priorities.TryGetValue(p.Port, out var priority) ? p with { Priority = priority } : p),
        ];
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
        ImmutableArray<GroupReading> groups = PoeTableRows.WithoutFalseZeros(
            PoeTableRows.Groups(walk.Columns[2], walk.Columns[3], walk.Columns[4]), ports);
        return new SwitchReading(target.PseId, 0, began + walk.Duration, outcome, detail, upTime, ports, groups) { InterfaceNames = names };
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

    private async Task<ImmutableDictionary<PsePortRef, string>> NamesAsync(
        PollTarget target, SnmpTarget agent, AgentSession session, WalkResult walk, TimeSpan? upTime, CancellationToken cancellationToken)
    {
        var restarted = upTime < session.UpTime;
        session.UpTime = upTime ?? session.UpTime;
        if (session.HasNames && !restarted && time.GetElapsedTime(session.NamesReadAt) < options.Value.NamesPeriod)
        {
            return ImmutableDictionary<PsePortRef, string>.Empty;
        }

        var request = new WalkRequest([PoeOids.InterfaceName, PoeOids.InterfaceText, PoeOids.PortPriority]);
        using WalkResult named = await _walker.WalkAsync(agent, request, session.Walk, cancellationToken).ConfigureAwait(false);
        if (!named.IsComplete)
        {
            return ImmutableDictionary<PsePortRef, string>.Empty;
        }

        (session.HasNames, session.NamesReadAt) = (true, time.GetTimestamp());
        session.Priorities = PoeTableRows.Priorities(target.PseId, named.Columns[2]);
        Dictionary<int, string> names = PoeTableRows.Names(named.Columns[0]);
        names = names.Count > 0 ? names : PoeTableRows.Names(named.Columns[1]);
        PsePortRef[] ports = [.. PoeTableRows.Ports(target, walk.Columns[0], walk.Columns[1], ImmutableDictionary<PsePortRef, Power>.Empty).Select(p => p.Port)];
        session.Interfaces = InterfaceMap.Map(ports, names);
        return session.Interfaces.ToImmutableDictionary(i => i.Key, i => names[i.Value]);
    }

    private async Task<IPAddress?> ResolveAsync(string name, AgentSession session, CancellationToken cancellationToken)
    {
        if (IPAddress.TryParse(name, out IPAddress? written))
        {
            return written;
        }

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
