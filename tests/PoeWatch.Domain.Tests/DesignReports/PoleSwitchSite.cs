using PoeWatch.Domain.Design;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.Poe;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.DesignReports;

/// <summary>
/// The worked tree of a pole switch: an uplink of 80 m 23 AWG over four pairs at 54 V, own draw 6 W, two poles behind it at 30 m and 50 m of 24 AWG over
/// two pairs with 12.95 W and 25.5 W. Its figures were worked out by hand from the closed form of one loop.
/// </summary>
internal static class PoleSwitchSite
{
    public static DateTimeOffset Day { get; } = new(2026, 11, 24, 9, 30, 0, TimeSpan.Zero);

    /// <param name="regulated">True: outputs made anew at 54 V with 92 %; false: outputs at the voltage that arrives.</param>
    public static DesignModel Design(bool regulated) => Builder(regulated).Build();

    public static DesignReport Report(bool regulated = true) => ReportOf(Design(regulated));

    public static DesignReport ReportOf(DesignModel design, string? onlyCableRunId = null) =>
        DesignReportBuilder.Build(design, Day, "1.2.3", onlyCableRunId, TestContext.Current.CancellationToken);

    private static DesignModelBuilder Builder(bool regulated) => new DesignModelBuilder()
        .Switch("quay", budgetWatts: 370)
        .Port("quay:1/1", 95, PoeType.Type4, PoeClass.Class8)
        .PassThrough("pole-switch", "gate", outputVolts: regulated ? 54 : null, efficiency: regulated ? 0.92 : 1.0)
        .DeviceType("camera", 12.95, PoeClass.Class3).DeviceType("ptz", 25.5)
        .Device("cam-a", "camera", "gate").Device("cam-b", "ptz", "weir")
        .Cable("quay:1/1", "pole-switch", 80)
        .Cable("pole-switch:1", "cam-a", 30, awg: 24, pairs: 2)
        .Cable("pole-switch:2", "cam-b", 50, awg: 24, pairs: 2);
}
