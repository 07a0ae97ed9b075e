using System.Globalization;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Quantities;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Numbers in the columns of a sheet, in watts, volts or amperes. Pure.</summary>
internal static class SheetValues
{
    // More than any port gives: IEEE 802.3-2022 ends at 99.9 W a port (Table 145-16), so twice that is no draw but a wrong unit or column.
    private const double WattsMax = 200;

    // IEEE 802.3 ends at 57 V and 1.92 A for all pairs together; twice that is another unit.
    private const double VoltsMax = 114;
    private const double AmperesMax = 3.84;

    /// <summary>The number; null where it is absent, negative, beyond any port, or text that is none. Text only where the sheet says so.</summary>
    public static double? Read(SnmpValue value, SheetColumn column)
    {
        double? number = value.TryGetInt64(out var whole) ? whole : column.IsText ? Parse(value) : null;
        return number / column.Unit.PerBase() is { } found && found >= 0 && found <= Most(column.Holds) ? found : null;
    }

    public static Power? Watts(SnmpValue value, SheetColumn column) => Read(value, column) is { } watts ? Power.FromWatts(watts) : null;

    /// <summary>The step of a watt column: that of its unit; text has as many decimals as it likes, so the first is counted.</summary>
    public static Power Resolution(SheetColumn column) => Power.FromWatts(column is { IsText: true, Unit: SheetUnit.Watt } ? 0.1 : 1 / column.Unit.PerBase());

    private static double? Parse(SnmpValue value) =>
        value.TryGetText(out var text) && double.TryParse(
            text.AsSpan().Trim("\0 \t\r\n"), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number)
            ? number
            : null;

    private static double Most(SheetQuantity holds) => holds switch
    {
        SheetQuantity.Draw or SheetQuantity.Allocated or SheetQuantity.Limit => WattsMax,
        SheetQuantity.Volts => VoltsMax,
        SheetQuantity.Amperes => AmperesMax,
        _ => uint.MaxValue,
    };
}
