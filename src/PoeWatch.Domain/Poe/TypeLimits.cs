using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>Voltage, current and resistance limits of one type. Immutable and thread safe; <c>default</c> is no row of the table.</summary>
/// <param name="PseMinimumVoltage">Least volts at the PSE.</param>
/// <param name="PseMaximumVoltage">Most volts at the PSE.</param>
/// <param name="PdMinimumVoltage">Least volts that a PD of the type must work from.</param>
/// <param name="PdMaximumVoltage">Most volts at a PD.</param>
/// <param name="PairsetMaximumCurrent">Most amperes over two pairs.</param>
/// <param name="TotalMaximumCurrent">Most amperes over all powered pairs together.</param>
/// <param name="ChannelLoopTwoPair">Worst loop of a 100 m channel over two pairs.</param>
/// <param name="MaximumClass">Highest class that a PSE of the type grants.</param>
/// <param name="MaximumPortOutput">What no port of the type may give more than; null where the type states none of its own.</param>
/// <param name="Source">Where the numbers were read.</param>
public readonly record struct TypeLimits(
    PoeType Type,
    PoeClause Clause,
    Voltage PseMinimumVoltage,
    Voltage PseMaximumVoltage,
    Voltage PdMinimumVoltage,
    Voltage PdMaximumVoltage,
    Current PairsetMaximumCurrent,
    Current TotalMaximumCurrent,
    Resistance ChannelLoopTwoPair,
    PoeClass MaximumClass,
    Power? MaximumPortOutput,
    string Source)
{
    /// <summary>Worst loop of a 100 m channel over four pairs: two pairsets side by side.</summary>
    public Resistance ChannelLoopFourPair => ChannelLoopTwoPair / 2.0;

    /// <summary>Worst loop of a 100 m channel over 2 or 4 powered pairs.</summary>
    public Resistance ChannelLoop(int pairs) => pairs == 4 ? ChannelLoopFourPair : ChannelLoopTwoPair;

    /// <summary>Most amperes over 2 or 4 powered pairs together.</summary>
    public Current MaximumCurrent(int pairs) => pairs == 4 ? TotalMaximumCurrent : PairsetMaximumCurrent;
}
