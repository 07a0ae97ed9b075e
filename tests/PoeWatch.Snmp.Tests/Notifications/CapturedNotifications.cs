namespace PoeWatch.Snmp.Tests.Notifications;

/// <summary>Datagrams captured on loopback from Net-SNMP 5.9.3's snmptrap: pethPsePortOnOffNotification of port 1/7, deliveringPower(3).</summary>
internal static class CapturedNotifications
{
    public const string Community = "harbour-traps";

    /// <summary>snmptrap -v2c -c harbour-traps ADDRESS 4711 (hundredths of a second) .1.3.6.1.2.1.105.0.1 .1.3.6.1.2.1.105.1.1.1.6.1.7 i 3.</summary>
    public static byte[] Trap2c => Convert.FromHexString(
        "305d020101040d686172626f75722d7472617073a749020459d953e2020100020100303b300e06082b06010201010300430212673016060a2b06010603010104010006082b0601"
        + "02016900013011060c2b0601020169010101060107020103");

    /// <summary>The same over -v3 -e 0x8000000001020304 -u watch -a SHA -x AES -l authPriv.</summary>
    public static byte[] Trap3 => Convert.FromHexString(
        "3081af020103301102040f4533ac020300ffe30401030201030433303104088000000001020304020101020308473a04057761746368040c979692bdc94d85339a12e7380408c5884a"
        + "77632456d20462dfcd2e807d870a7e36f8a93d4280dcd3c0ee2e117ed72751a303f645ea4f62142a2fd3b1bb97678c2449b6e8ff8ff82ff5388dbccd3bc98de8ac0b9c07af56cefd"
        + "7b807a4a41a2adba7d4fc2c731823d7cb6f2d06267df6015a655615dad200b0c28");

    /// <summary>An SNMPv1 trap: snmptrap -v1 … 2 0 (linkDown).</summary>
    public static byte[] Trap1 => Convert.FromHexString("302f020100040d686172626f75722d7472617073a41b06072b06010401bf0840047f000001020102020100430212693000");

    public static UsmCredentials Watch(string authPassphrase = "salt-and-water", string privacyPassphrase = "tide-at-night") =>
        new("watch", AuthProtocol.Sha1, authPassphrase, PrivacyProtocol.Aes128, privacyPassphrase);
}
