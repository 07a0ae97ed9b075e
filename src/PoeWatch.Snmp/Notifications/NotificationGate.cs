using System.Net;

namespace PoeWatch.Snmp.Notifications;

/// <summary>How many notifications are taken, in datagrams a second; as many again twice over may come in a burst.</summary>
/// <param name="PerAddress">From one address.</param>
/// <param name="InAll">From all addresses together.</param>
public sealed record NotificationRates(int PerAddress, int InAll);

/// <summary>
/// Lets through what the rates allow, each address first, so that one that floods takes nothing from the others. Only known addresses have a place
/// here. Not thread safe.
/// </summary>
internal sealed class NotificationGate(NotificationRates rates, TimeProvider time)
{
    private const int BurstSeconds = 2;

    // More addresses than a design has agents: those of former designs are still here, and may all go.
    private const int AddressesMax = 50_000;

    private readonly Dictionary<IPAddress, TokenBucket> _byAddress = [];
    private readonly TokenBucket _all = new(rates.InAll, rates.InAll * BurstSeconds, TimeSpan.Zero);
    private readonly long _start = time.GetTimestamp();

    public bool LetsIn(IPAddress address)
    {
        TimeSpan now = time.GetElapsedTime(_start);
        if (!_byAddress.TryGetValue(address, out TokenBucket? own))
        {
            if (_byAddress.Count >= AddressesMax)
            {
                _byAddress.Clear();
            }

            own = new TokenBucket(rates.PerAddress, rates.PerAddress * BurstSeconds, now);
            _byAddress[address] = own;
        }

        return own.TryTake(now) && _all.TryTake(now);
    }
}
