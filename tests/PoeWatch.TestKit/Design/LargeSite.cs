using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;

namespace PoeWatch.TestKit.Design;

/// <summary>A generated site of many poles: every third pole a single camera, every third an extender with two devices, every third a pass-through switch with two.</summary>
public static class LargeSite
{
    private const int PortsOfASwitch = 24;

    /// <param name="poles">1 or more.</param>
    public static DesignModel Of(int poles)
    {
        var builder = new DesignModelBuilder()
            .DeviceType("camera", 9, PoeClass.Class4, ("night", 17), ("winter", 24), ("paging", 17)).DeviceType("horn", 4, PoeClass.Class3, ("paging", 11))
            .LoadCase("day").LoadCase("night").LoadCase("winter").LoadCase("paging");
        for (var number = 0; number < poles; number++)
        {
            var pse = Name("switch", number / PortsOfASwitch);
            if (number % PortsOfASwitch == 0)
            {
                builder.Switch(pse, budgetWatts: 1480);
            }

            AddPole(builder, number, string.Create(CultureInfo.InvariantCulture, $"{pse}:1/{(number % PortsOfASwitch) + 1}"));
        }

        return builder.Build();
    }

    private static void AddPole(DesignModelBuilder builder, int number, string port)
    {
        var (pole, camera, horn, between) = (Name("pole", number), Name("camera", number), Name("horn", number), Name("between", number));
        builder.Port(port, 90, PoeType.Type4, PoeClass.Class8).Device(camera, "camera", pole);
        if (number % 3 == 0)
        {
            builder.Cable(port, camera, 30 + (number % 60));
            return;
        }

        _ = number % 3 == 1 ? builder.Extender(between, pole) : builder.PassThrough(between, pole);
        builder.Device(horn, "horn", pole).Cable(port, between, 30 + (number % 60)).Cable($"{between}:1", camera, 20).Cable($"{between}:2", horn, 25);
    }

    private static string Name(string what, int number) => string.Create(CultureInfo.InvariantCulture, $"{what}-{number + 1}");
}
