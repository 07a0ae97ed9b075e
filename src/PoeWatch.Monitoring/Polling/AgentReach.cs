using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling;

/// <summary>How an agent that is asked now and then is reached: its credentials, and its name looked up each time. Thread safe.</summary>
internal sealed class AgentReach(ICredentialSource credentials, IOptions<PollingOptions> options)
{
    /// <summary>The agent, or null with why it cannot be asked and what to do.</summary>
    public async Task<(SnmpTarget? Target, string Problem)> FindAsync(SnmpAgent agent, CancellationToken cancellationToken)
    {
        if (credentials.Find(agent.Credentials, out var problem) is not { } secret)
        {
            return (null, problem);
        }

        return await ResolveAsync(agent.Address, cancellationToken).ConfigureAwait(false) is { } address
            ? (new SnmpTarget(new IPEndPoint(address, agent.UdpPort), secret, options.Value.Timeout, options.Value.Retries, alsoAnswersFrom: agent.AnswersFrom), "")
            : (null, $"The name '{agent.Address}' cannot be resolved. Check the name in the design and this machine's DNS.");
    }

    private static async Task<IPAddress?> ResolveAsync(string name, CancellationToken cancellationToken)
    {
        if (IPAddress.TryParse(name, out IPAddress? written))
        {
            return written;
        }

        try
        {
            return (await Dns.GetHostAddressesAsync(name, cancellationToken).ConfigureAwait(false)).FirstOrDefault();
        }
        catch (SocketException)
        {
            return null;
        }
    }
}
