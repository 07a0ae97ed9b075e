using System.Collections.Frozen;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.World;

/// <summary>
/// Which devices boot, and what they draw meanwhile. A device that was fed, went dark and is fed again boots; one that never was dark does not. Not
/// thread safe; the world steps it.
/// </summary>
/// <remarks>
/// Where the design names a boot peak that is drawn for as long as it says; elsewhere a quarter more than the device draws, for a minute and a half (common
/// practice, no source), and never more than the design has it need in any load case.
/// </remarks>
internal sealed class DeviceStarts(DesignModel design)
{
    public static readonly TimeSpan UsualBoot = TimeSpan.FromSeconds(90);
    public const double UsualShare = 1.25;

    // Null while it is dark; absent where it never was fed.
    private readonly Dictionary<string, TimeSpan?> _fedSince = [];

    private readonly FrozenDictionary<string, Power> _most = design.DeviceTypes.ToFrozenDictionary(
        entry => entry.Key, entry => DeviceDemand.Worst(entry.Value, DesignDemands.CasesOf(design)).Watts);

    /// <summary>Tells whether a device is fed now.</summary>
    public void See(string deviceId, bool isFed, TimeSpan now)
    {
        if (_fedSince.TryGetValue(deviceId, out var since))
        {
            if (isFed != since is not null)
            {
                _fedSince[deviceId] = isFed ? now : null;
            }
        }
        else if (isFed)
        {
            _fedSince.Add(deviceId, TimeSpan.MinValue);
        }
    }

    /// <summary>What a device draws that would draw so much if it ran.</summary>
    public Power Draw(string deviceId, DeviceType type, Power running, TimeSpan now)
    {
        var (peak, lasts) = type.Physical is { } physical && physical.Takes.TryGetValue(LoadCondition.ColdStart, out var boot)
            ? (Power.Max(running, boot), physical.BootLasts)
            : (Power.Max(running, Power.Min(running * UsualShare, _most[type.Id])), UsualBoot);
        return _fedSince.TryGetValue(deviceId, out var since) && (since is null || (since != TimeSpan.MinValue && now - since < lasts)) ? peak : running;
    }
}
