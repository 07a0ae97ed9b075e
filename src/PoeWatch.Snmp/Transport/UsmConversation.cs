using System.Collections.Concurrent;
using System.Net;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// The v3 side of asking: discovers engines, keeps a session per agent, and answers the two Reports that have a remedy by
/// trying once more. Every other Report is the request's outcome. Thread-safe.
/// </summary>
internal sealed class UsmConversation(Dispatcher dispatcher, TimeProvider time)
{
    public static readonly Oid SysUpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");

    /// <summary>Sessions kept; beyond them an arbitrary one makes room and is discovered again when needed.</summary>
    private const int MaxSessions = 200_000;

    private readonly ConcurrentDictionary<IPEndPoint, UsmSession> _sessions = new();
    private readonly UserKeyCache _userKeys = new();

    public async Task<SnmpResult> AskAsync(
        SnmpTarget target, UsmCredentials user, RequestBody body, CancellationToken cancellationToken)
    {
        bool resynchronised = false;
        bool rediscovered = false;
        while (true)
        {
            if (!TryFind(target, user, out UsmSession? session))
            {
                (session, SnmpResult discovery) = await DiscoverAsync(target, user, cancellationToken).ConfigureAwait(false);
                if (session is null)
                {
                    return discovery;
                }

                Keep(target, session);
            }

            UsmRequest request = new(target, session, body, dispatcher.Statistics);
            SnmpResult result = await dispatcher.SendAsync(request, cancellationToken).ConfigureAwait(false);
            switch (result.Outcome)
            {
                case SnmpOutcome.NotInTimeWindow:
                    // A signed Report has set the clock right. One that is unsigned, or that would set it back, must not:
                    // only a new discovery may help (some agents restart without counting it in their boots).
                    // Also when nothing helps: the next poll starts afresh instead of failing for ever.
                    if (resynchronised || !request.ReportWasAuthentic)
                    {
                        Forget(target, session);
                    }

                    if (resynchronised)
                    {
                        return result;
                    }

                    resynchronised = true;
                    break;
                case SnmpOutcome.UnknownEngine:
                    Forget(target, session);
                    if (rediscovered)
                    {
                        return result;
                    }

                    rediscovered = true;
                    break;
                default:
                    return result;
            }
        }
    }

    public async Task<SnmpResult> DiagnoseSilenceAsync(SnmpTarget target, UsmCredentials user, CancellationToken cancellationToken)
    {
        (UsmSession? session, SnmpResult discovery) = await DiscoverAsync(target, user, cancellationToken).ConfigureAwait(false);
        if (session is null)
        {
            return discovery;
        }

        SnmpResult asked = await AskUptimeAsync(target, session, cancellationToken).ConfigureAwait(false);
        if (asked.Outcome != SnmpOutcome.Timeout || user.Privacy == PrivacyProtocol.None)
        {
            session.Wipe();
            return asked;
        }

        UsmCredentials lower = user.WithoutPrivacy();
        UsmSession lowerSession = new(lower, session.EngineId, session.Clock, _userKeys);
        SnmpResult askedLower = await AskUptimeAsync(target.With(lower), lowerSession, cancellationToken).ConfigureAwait(false);
        session.Wipe();
        lowerSession.Wipe();

        // A refusal at the lower level is an answer too: the digest was good, so privacy is what the agent stumbles over.
        return askedLower.Outcome is SnmpOutcome.Answered or SnmpOutcome.AgentError or SnmpOutcome.AuthorizationError
            or SnmpOutcome.UnsupportedSecurityLevel or SnmpOutcome.UnknownContext or SnmpOutcome.NotInTimeWindow
            ? asked with { Outcome = SnmpOutcome.PrivacySuspected }
            : askedLower with { Target = target };
    }

    /// <summary>Overwrites all keys. Nothing may be asked afterwards.</summary>
    public void Wipe()
    {
        foreach (UsmSession session in _sessions.Values)
        {
            session.Wipe();
        }

        _sessions.Clear();
        _userKeys.Clear();
    }

    /// <summary>Asks once, and once more where the first Report set the clock that discovery had guessed wrong.</summary>
    private async Task<SnmpResult> AskUptimeAsync(SnmpTarget target, UsmSession session, CancellationToken cancellationToken)
    {
        RequestBody body = new(PduType.Get, [SysUpTime]);
        UsmRequest first = new(target, session, body, dispatcher.Statistics);
        SnmpResult result = await dispatcher.SendAsync(first, cancellationToken).ConfigureAwait(false);
        return result.Outcome == SnmpOutcome.NotInTimeWindow && first.ReportWasAuthentic
            ? await dispatcher
                .SendAsync(new UsmRequest(target, session, body, dispatcher.Statistics), cancellationToken).ConfigureAwait(false)
            : result;
    }

    /// <summary>Asks an agent for its engine and makes a session; null with the reason where that fails.</summary>
    public async Task<(UsmSession? Session, SnmpResult Result)> DiscoverAsync(
        SnmpTarget target, UsmCredentials user, CancellationToken cancellationToken)
    {
        DiscoveryRequest request = new(target);
        SnmpResult result = await dispatcher.SendAsync(request, cancellationToken).ConfigureAwait(false);
        return result.IsAnswered
            ? (new UsmSession(user, request.EngineId, new EngineClock(time, request.EngineBoots, request.EngineTime), _userKeys), result)
            : (null, result);
    }

    /// <summary>The session kept for this agent and user.</summary>
    public bool TryFind(SnmpTarget target, UsmCredentials user, out UsmSession session) =>
        _sessions.TryGetValue(target.Endpoint, out session!) && session.Credentials.Equals(user);

    public void Keep(SnmpTarget target, UsmSession session)
    {
        if (_sessions.Count >= MaxSessions && _sessions.Keys.FirstOrDefault() is { } any)
        {
            _sessions.TryRemove(any, out _);
        }

        // Other credentials: the old ones were rotated out, and nothing needs their keys any more.
        if (_sessions.TryGetValue(target.Endpoint, out UsmSession? old) && !old.Credentials.Equals(session.Credentials))
        {
            old.Wipe();
            _userKeys.Forget(old.Credentials.Auth, old.Credentials.AuthPassphrase);
            _userKeys.Forget(old.Credentials.Auth, old.Credentials.PrivacyPassphrase);
        }

        _sessions[target.Endpoint] = session;
    }

    /// <summary>Forgets an agent that is no longer asked, and overwrites its keys.</summary>
    public void Forget(IPEndPoint endpoint)
    {
        if (_sessions.TryRemove(endpoint, out UsmSession? session))
        {
            session.Wipe();
        }
    }

    public void Forget(SnmpTarget target, UsmSession session) =>
        _sessions.TryRemove(new KeyValuePair<IPEndPoint, UsmSession>(target.Endpoint, session));
}
