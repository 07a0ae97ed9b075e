using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// The resistance by which a PSE tells a PD from a device that knows no power over Ethernet. Nothing is fed without it: a port in <c>searching</c> has not found it.
/// Pure and thread safe.
/// </summary>
public static class Detection
{
    /// <summary>Least resistance that a PD shows: 23.7 kilohm (TI TPS23754 data sheet; IEEE 802.3 clauses 33 and 145).</summary>
    public static Resistance SignatureLowest { get; } = Resistance.FromOhms(23_700);

    /// <summary>Most resistance that a PD shows: 26.3 kilohm (TI TPS23754 data sheet; IEEE 802.3 clauses 33 and 145).</summary>
    public static Resistance SignatureHighest { get; } = Resistance.FromOhms(26_300);

    /// <summary>A PSE must take no less for a PD: 19 kilohm (IEEE 802.3 clause 33.2.5, from memory).</summary>
    public static Resistance AcceptedLowest { get; } = Resistance.FromOhms(19_000);

    /// <summary>A PSE must take no more for a PD: 26.5 kilohm (IEEE 802.3 clause 33.2.5, from memory).</summary>
    public static Resistance AcceptedHighest { get; } = Resistance.FromOhms(26_500);

    /// <summary>True where a PD that shows this keeps to the standard.</summary>
    public static bool IsSignature(Resistance shown) => shown >= SignatureLowest && shown <= SignatureHighest;

    /// <summary>True where a PSE must take it for a PD: a conforming PD behind the worst cable, and a little more.</summary>
    public static bool MustBeAccepted(Resistance seenAtPse) => seenAtPse >= AcceptedLowest && seenAtPse <= AcceptedHighest;
}
