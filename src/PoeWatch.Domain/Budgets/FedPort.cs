using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Budgets;

/// <summary>What a design says of a port with the run behind it. Pure and thread safe.</summary>
public static class FedPort
{
    /// <summary>The most critical of the port and every device behind it: how much the design minds that it goes dark.</summary>
    public static Criticality MostCritical(PsePort port, CableRun run)
    {
        ArgumentNullException.ThrowIfNull(port);
        ArgumentNullException.ThrowIfNull(run);
        return run.Devices.Select(device => device.Criticality).Append(port.Criticality).MinBy(PowerSharing.Rank);
    }

    /// <summary>Class that the port assigns to the PD behind it, demoted where it grants less; null where no single device stands there that asks for one.</summary>
    public static PoeClass? Granted(PsePort port, CableRun run)
    {
        ArgumentNullException.ThrowIfNull(port);
        ArgumentNullException.ThrowIfNull(run);
        return run.Root.DeviceType is { } type ? ClassOnTheWay.Assigned(type.RequestedClass, port.GrantableClass) : null;
    }
}
