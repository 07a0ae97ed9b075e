using System.Net;
using System.Net.Sockets;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Commands;

/// <summary>Where an agent is, as people type it: an IP address or a DNS name, with :PORT where it is not 161.</summary>
/// <param name="Name">IP address or DNS name.</param>
internal readonly record struct AgentAddress(string Name, int Port)
{
    /// <summary>As a design writes it.</summary>
    public string Written => Port == SnmpTarget.DefaultPort ? Name
        : FormattableString.Invariant($"{(Name.Contains(':', StringComparison.Ordinal) ? $"[{Name}]" : Name)}:{Port}");

    /// <exception cref="SettingsException">It is neither address nor name.</exception>
    public static AgentAddress Parse(string text)
    {
        if (IPEndPoint.TryParse(text, out IPEndPoint? endpoint))
        {
            return new AgentAddress(endpoint.Address.ToString(), endpoint.Port == 0 ? SnmpTarget.DefaultPort : endpoint.Port);
        }

        var colon = text.LastIndexOf(':');
        var name = colon < 0 ? text : text[..colon];
        var port = SnmpTarget.DefaultPort;
        return Uri.CheckHostName(name) == UriHostNameType.Dns && (colon < 0 || (int.TryParse(text.AsSpan(colon + 1), out port) && port is > 0 and <= IPEndPoint.MaxPort))
            ? new AgentAddress(name, port)
            : throw new SettingsException($"'{text}' is no address. Write one such as 192.0.2.10, [2001:db8::10]:1161 or switch.example.org:161.");
    }

    /// <returns>Null where the name leads nowhere.</returns>
    public async Task<IPEndPoint?> ResolveAsync(CancellationToken cancellationToken)
    {
        if (IPAddress.TryParse(Name, out IPAddress? address))
        {
            return new IPEndPoint(address, Port);
        }

        try
        {
            IPAddress[] found = await Dns.GetHostAddressesAsync(Name, cancellationToken);
            return found.Length > 0 ? new IPEndPoint(found[0], Port) : null;
        }
        catch (SocketException)
        {
            return null;
        }
    }

    /// <exception cref="SettingsException">The name leads nowhere.</exception>
    public async Task<IPEndPoint> RequireAsync(CancellationToken cancellationToken) =>
        await ResolveAsync(cancellationToken) ?? throw new SettingsException(Unresolved);

    public string Unresolved => $"The name '{Name}' cannot be resolved. Check the name and this machine's DNS, or give the IP address.";

    /// <summary>Finds out why an agent does not answer, and says it in one sentence.</summary>
    public static async Task<string> WhyAsync(SnmpClient client, SnmpTarget target, SnmpResult answer, CancellationToken cancellationToken)
    {
        SnmpResult why = answer.Outcome == SnmpOutcome.Timeout ? await client.DiagnoseSilenceAsync(target, cancellationToken) : answer;
        return Words(target, why.IsAnswered ? answer : why);
    }

    /// <summary>Why an agent did not answer.</summary>
    public static string Words(SnmpTarget target, SnmpResult answer) => answer.Outcome == SnmpOutcome.PrivacySuspected
        ? $"{target}: answers without privacy and is silent with it. Privacy passphrase or protocol is probably wrong."
        : answer.Summary;
}
