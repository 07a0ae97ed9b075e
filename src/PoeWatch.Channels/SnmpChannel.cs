using System.Net;
using System.Net.Sockets;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Channels;

/// <summary>
/// Sends alarms as informs (SNMP v2c or v3) with the notifications of the ALARM-MIB, RFC 3877, or of an arc that the operator owns. Informs, because a trap is acknowledged by nobody.
/// </summary>
/// <param name="arc">Below it the notifications have their names where the operator owns one; null for the ALARM-MIB.</param>
internal sealed class SnmpChannel(
    string name, string server, int port, Func<(SnmpCredentials? Found, string Problem)> credentials, TimeProvider time, ArcNotification? arc = null)
    : INoticeChannel, IAsyncDisposable
{
    private readonly SnmpClient _client = new(time);
    private readonly long _began = time.GetTimestamp();

    public string Name => name;

    public async Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
    {
        var (found, problem) = credentials();
        if (found is null)
        {
            return Sending.Failed(problem);
        }

        IPAddress[] addresses;
        try
        {
            addresses = await Dns.GetHostAddressesAsync(server, cancellationToken);
        }
        catch (SocketException unknown)
        {
            return Sending.Failed($"{server}: {unknown.Message}");
        }

        var target = new SnmpTarget(new IPEndPoint(addresses[0], port), found);
        foreach (Notice notice in message.Notices)
        {
            TimeSpan upTime = time.GetElapsedTime(_began);
            if ((arc is null ? AlarmNotification.Of(notice, upTime) : arc.Of(notice, upTime)) is not { } bindings)
            {
                return Sending.Refused($"'{notice.Content.Kind}' cannot be told with the ALARM-MIB.");
            }

            SnmpResult result = await _client.InformAsync(target, bindings, cancellationToken);
            cancellationToken.ThrowIfCancellationRequested();
            if (!result.IsAnswered)
            {
                return Sending.Failed(FormattableString.Invariant($"{server}:{port}: {result.Outcome} after {result.Attempts} attempts."));
            }
        }

        return Sending.Sent;
    }

    public ValueTask DisposeAsync() => _client.DisposeAsync();
}
