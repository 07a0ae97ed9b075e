using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Load cases, device types, and the devices themselves.</summary>
internal static class IntentBuilder
{
    public static void Build(DesignParts parts)
    {
        LoadCaseBuilder.Build(parts);
        DeviceTypeBuilder.Build(parts);
        foreach (var device in parts.Config.Devices)
        {
            BuildDevice(parts, device);
        }
    }

    private static void BuildDevice(DesignParts parts, DeviceConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var type = values.Text(written.Type, "type", "a device type listed under 'device-types'");
        if (written.Type is not null && !parts.DeviceTypes.ContainsKey(type))
        {
            parts.Problems.Taint(id);
            parts.Problems.Error(
                "unknown-device-type", written.Type, id, $"There is no device type '{type}'.",
                $"{Suggestion.Hint(type, parts.DeviceTypes.Keys.Union(parts.Config.FolderTypeIds))}Name a device type listed under 'device-types'.");
        }

        var device = new PoweredDevice(
            id, written.Name?.Value ?? id, type, References.Pole(parts, written.Pole, id), values.Choice(written.Criticality, DesignChoices.Criticality))
        {
            PagingGroup = written.PagingGroup?.Value,
            LldpName = written.LldpName?.Value,
        };
        if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.Device, written.At))
        {
            parts.Devices.Add(id, device);
        }
    }
}
