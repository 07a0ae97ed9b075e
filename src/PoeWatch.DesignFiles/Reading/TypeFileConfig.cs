using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>A file of a type as written: exactly one of the four is meant to be there.</summary>
internal sealed record TypeFileConfig(WrittenAt At)
{
    public Written<string>? Format { get; init; }

    public DeviceTypeConfig? DeviceType { get; init; }

    public ExtenderConfig? Extender { get; init; }

    public PassThroughSwitchConfig? PassThrough { get; init; }

    public InjectorConfig? Injector { get; init; }

    public Written<string>? Id => DeviceType?.Id ?? Extender?.Id ?? PassThrough?.Id ?? Injector?.Id;

    public static TypeFileConfig Read(MapReader map) => new(map.At)
    {
        Format = map.Text("format"),
        DeviceType = map.Map("device-type", "device-type", DemandReader.ReadDeviceType),
        Extender = map.Map("extender", "extender", ElementReader.ReadExtender),
        PassThrough = map.Map("pass-through-switch", "pass-through-switch", ElementReader.ReadPassThrough),
        Injector = map.Map("injector", "injector", ElementReader.ReadInjector),
    };
}
