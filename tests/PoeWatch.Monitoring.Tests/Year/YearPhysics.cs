using PoeWatch.Domain.Design;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>
/// What a straight run of AWG 23 copper takes, by hand: the truth of the script must not come out of the solver that is on trial. 66.8 ohm for a kilometre of conductor
/// at 20 °C (copper wire tables, from memory), 0.393 % more for each degree, 60 °C as the design has it; a loop over two pairs is two conductors side by side
/// there and two back, so a kilometre of cable has 66.8 ohm at 20 °C too. 54 V at the port.
/// </summary>
internal static class YearPhysics
{
    private const double Volts = 54;
    private const double OhmPerMetre = 0.0668 * (1 + (0.00393 * 40));

    /// <summary>Watts at the port for watts at the device's input: P = V I, I = (V - sqrt(V² - 4 R p)) / 2 R.</summary>
    public static double AtPort(CableRun run, double wattsAtDevice)
    {
        var loop = LoopOf(run);
        return Volts * (Volts - Math.Sqrt((Volts * Volts) - (4 * loop * wattsAtDevice))) / (2 * loop);
    }

    /// <summary>The most that arrives where the port gives its limit.</summary>
    public static double MostAtDevice(CableRun run, double limitAtPort) => limitAtPort - (Math.Pow(limitAtPort / Volts, 2) * LoopOf(run));

    private static double LoopOf(CableRun run) => run.Root.Incoming.Length.Meters * OhmPerMetre;
}
