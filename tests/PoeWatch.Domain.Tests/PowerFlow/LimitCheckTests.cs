using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>How far a value is beyond its limit, in bare numbers.</summary>
public sealed class LimitCheckTests
{
    [Theory]
    [InlineData(LimitKind.PsePort, 30.0, 33.0, 0.1)]
    [InlineData(LimitKind.PsePort, 30.0, 27.0, -0.1)]
    [InlineData(LimitKind.PsePort, 0.4, 0.5, 0.25)]
    [InlineData(LimitKind.PsePort, 0.0, 0.3, 0.3)]
    [InlineData(LimitKind.PsePort, 0.0, 0.0, 0.0)]
    [InlineData(LimitKind.PsePort, 0.005, 0.01, 1.0)]
    [InlineData(LimitKind.PassThroughTotal, -2.0, 0.5, 2.5)]
    [InlineData(LimitKind.PdVoltage, 42.5, 34.0, 0.2)]
    [InlineData(LimitKind.PdVoltage, 42.5, 51.0, -0.2)]
    public void Beyond_is_a_share_of_the_limit_or_the_value_itself_where_nothing_is_allowed(LimitKind kind, double limit, double value, double beyond) =>
        Assert.Equal(beyond, new LimitCheck(kind, 0, 0, limit, value).Beyond, 1e-12);

    // Rounding of doubles is forgiven, no more.
    [Theory]
    [InlineData(1 + 5e-10, false)]
    [InlineData(1 + 2e-9, true)]
    public void One_more_watt_is_refused_beyond_the_rounding_of_doubles(double share, bool isExceeded) =>
        Assert.Equal(isExceeded, new LimitCheck(LimitKind.PsePort, 0, 0, 90, 90 * share).IsExceeded);

    // The class table is rounded by up to 0.18 % (40 W behind the worst channel are 45.08 W, the table says 45 W); only what a PSE gives is held to it.
    [Theory]
    [InlineData(LimitKind.PsePort, OperatingMode.Guaranteed, 1.00199, false)]
    [InlineData(LimitKind.PsePort, OperatingMode.Guaranteed, 1.00201, true)]
    [InlineData(LimitKind.InjectorRating, OperatingMode.Guaranteed, 1.0019, false)]
    [InlineData(LimitKind.ExtenderOutput, OperatingMode.Guaranteed, 1.0019, false)]
    [InlineData(LimitKind.PassThroughOutput, OperatingMode.Guaranteed, 1.0019, false)]
    [InlineData(LimitKind.PassThroughTotal, OperatingMode.Guaranteed, 1.0001, true)]
    [InlineData(LimitKind.ExtenderInput, OperatingMode.Guaranteed, 1.0001, true)]
    [InlineData(LimitKind.PdClass, OperatingMode.Guaranteed, 1.0001, true)]
    [InlineData(LimitKind.PsePort, OperatingMode.Expected, 1.0001, true)]
    [InlineData(LimitKind.PsePort, OperatingMode.Expected, 1.0, false)]
    public void Rounding_of_the_class_table_is_forgiven_to_pse_outputs_in_guaranteed_mode_alone(
        LimitKind kind, OperatingMode mode, double share, bool isBroken) =>
        Assert.Equal(isBroken, new LimitCheck(kind, 0, 0, 50, 50 * share).IsBroken(mode));
}
