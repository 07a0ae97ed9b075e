using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// Floors where the design writes none. Common practice is to keep 20 to 25 % of a budget free (no source): the early floor is the lower
/// end of that, the late one half of it. The watts keep small limits from having a floor of nearly nothing.
/// </summary>
internal static class HeadroomDefaults
{
    public static HeadroomLevels Levels { get; } = new(
        new HeadroomFloor(Power.FromWatts(5), Ratio.FromPercent(20)), new HeadroomFloor(Power.FromWatts(2), Ratio.FromPercent(10)));

    public static HeadroomPolicy Policy { get; } = new(Levels, Levels, Levels, Levels);
}
