using PoeWatch.Domain.Poe;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Says of each limit where its number comes from.</summary>
internal static class LimitSources
{
    private const string Plate = "limit given in the design";
    private const string Channel = "channel of ISO/IEC 11801 and ANSI/TIA-568: 90 m of cable and 10 m of cords";
    private const string Derating = "ANSI/TIA-568-C.2 Annex G, from memory: attenuation of warm cable, cords of 10 m at 20 °C";
    private const string Rating = "rating of the cable in the design, 60 °C where it says none (common practice)";
    private const string BundleRating = Rating + "; rise in bundles: Vaden, contribution to IEEE 802.3bt on cable heating, and 1 °C";
    private const string Unbalanced = "IEEE 802.3 clause 145, pairset current with unbalance, from memory";
    private const string Demotion = "; steps of demotion: onsemi NCP1095 board manual, p. 2";

    internal static string Of(FlowTree tree, in LimitCheck check)
    {
        var place = tree.Place(check.Place);
        var feed = tree.FeedOf(check.Place);
        return check.Kind switch
        {
            LimitKind.PsePort or LimitKind.InjectorRating when check.Limit < tree.Run.Source.Limit.Watts => PoeTables.LimitsOf(feed)!.Value.Source,
            LimitKind.PdClass => PoeTables.LimitsOf(place.DeviceType!.RequestedClass, feed).Source,
            LimitKind.ExtendedPower => "extended power: onsemi NCP1095 board manual, p. 2; class 6 from memory",
            LimitKind.GrantableClass or LimitKind.PassedOnClass => "class table of IEEE 802.3" + Demotion,
            LimitKind.PdVoltage => (PoeTables.LimitsOf(place.DeviceType is { } type ? PoeTables.PdTypeOf(type.RequestedClass) : feed))!.Value.Source,
            LimitKind.PairCurrent => PoeTables.LimitsOf(feed)!.Value.Source,
            LimitKind.PairsetCurrent => place.Incoming.Installation.PairsetLimit is not null ? Plate
                : feed == PoeType.Type3 ? Unbalanced : PoeTables.LimitsOf(feed)!.Value.Source,
            LimitKind.LoopResistance => (PoeTables.LimitsOf(feed) ?? PoeTables.LimitsOf(PoeType.Type2))!.Value.Source,
            LimitKind.SegmentLength => Channel,
            LimitKind.DeratedLength => Derating,
            LimitKind.BundleRise => "TSB-184-A, as reported by the trade press; rise: Vaden, contribution to IEEE 802.3bt on cable heating, and 1 °C",
            LimitKind.CableTemperature => place.Incoming.Installation.BundledCables > 0 ? BundleRating : Rating,
            _ => Plate,
        };
    }
}
