using System.Collections.Frozen;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Notifications;

/// <summary>The notifications that are a reason to poll. Pure.</summary>
public static class NotificationKinds
{
    /// <summary>Everything else: counted, and no reason for anything.</summary>
    public const string Other = "other";

    // Numbers from RFC 3621 (POWER-ETHERNET-MIB) and RFC 3418 (SNMPv2-MIB), RFC 2863 (IF-MIB).
    private static readonly FrozenDictionary<Oid, string> s_names = new Dictionary<Oid, string>
    {
        [Oid.Parse("1.3.6.1.2.1.105.0.1")] = "port-on-off",
        [Oid.Parse("1.3.6.1.2.1.105.0.2")] = "group-above-threshold",
        [Oid.Parse("1.3.6.1.2.1.105.0.3")] = "group-below-threshold",
        [Oid.Parse("1.3.6.1.6.3.1.1.5.1")] = "cold-start",
        [Oid.Parse("1.3.6.1.6.3.1.1.5.2")] = "warm-start",
        [Oid.Parse("1.3.6.1.6.3.1.1.5.3")] = "link-down",
        [Oid.Parse("1.3.6.1.6.3.1.1.5.4")] = "link-up",
    }.ToFrozenDictionary();

    /// <summary>The name of a kind in metrics and logs; <see cref="Other"/> for those that are not known.</summary>
    public static string Name(Oid kind) => s_names.GetValueOrDefault(kind, Other);
}
