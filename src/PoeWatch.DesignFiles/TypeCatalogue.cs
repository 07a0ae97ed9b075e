using System.Text;
using PoeWatch.DesignFiles.Reading;
using PoeWatch.DesignFiles.Text;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles;

/// <summary>
/// Gives a design the types that it names without describing them. What it takes is joined to the design's text, so that the hash covers it and a text that is kept
/// carries its types with it: a changed folder never changes a design that was taken.
/// </summary>
/// <param name="carried">Types that the text itself carries, by name of their file; they stand above the folder.</param>
internal sealed class TypeCatalogue(
    DeviceTypeFolder folder, IReadOnlyDictionary<string, string> carried, List<DesignProblem> problems, StringBuilder joined)
{
    private const string Format = "poewatch-device-type/1";

    private readonly Dictionary<string, TypeFileConfig?> _taken = new(StringComparer.Ordinal);

    /// <summary>The design with all types that it names and does not describe. The design's own stand above those of the folder.</summary>
    public DesignConfig Complete(DesignConfig config)
    {
        var own = config.DeviceTypes.Select(type => type.Id?.Value).ToHashSet(StringComparer.Ordinal);
        var named = config.Devices.Select(device => device.Type).OfType<Written<string>>().DistinctBy(type => type.Value, StringComparer.Ordinal)
            .Where(type => !own.Contains(type.Value)).OrderBy(type => type.Value, StringComparer.Ordinal);
        return config with
        {
            Extenders = [.. config.Extenders.Select(e => Kind(e.Kind, "extender", file => file.Extender) is { } kind ? e.Like(kind) : e)],
            PassThroughSwitches = [.. config.PassThroughSwitches.Select(p => Kind(p.Kind, "pass-through-switch", file => file.PassThrough) is { } kind ? p.Like(kind) : p)],
            Injectors = [.. config.Injectors.Select(i => Kind(i.Kind, "injector", file => file.Injector) is { } kind ? i.Like(kind) : i)],
            DeviceTypes = config.DeviceTypes.AddRange(named.Select(type => Take(type.Value)?.DeviceType).OfType<DeviceTypeConfig>()),
            FolderTypeIds = [.. folder.Ids],
        };
    }

    private T? Kind<T>(Written<string>? kind, string section, Func<TypeFileConfig, T?> of)
        where T : class
    {
        if (kind is null)
        {
            return null;
        }

        if (Take(kind.Value) is { } file && of(file) is { } found)
        {
            return found;
        }

        problems.Add(new DesignProblem(
            ProblemKind.Error, "unknown-kind", kind.At, "", kind.Value, $"There is no kind of {section} '{kind.Value}'.",
            $"{Suggestion.Hint(kind.Value, folder.Ids)}Write its figures here, or name a kind that has a file in the folder of device types."));
        return null;
    }

    private TypeFileConfig? Take(string id)
    {
        if (_taken.TryGetValue(id, out var known))
        {
            return known;
        }

        return _taken[id] = IsWellFormed(id) ? Read(id) : null;
    }

    private TypeFileConfig? Read(string id)
    {
        var name = DeviceTypeFolder.JoinedName(id);
        var isCarried = carried.TryGetValue(name, out var text);
        var found = isCarried ? new FoundText(text, "") : folder.Find(id);
        var file = isCarried ? name : folder.FileOf(id);
        if (found.Text is null)
        {
            if (found.Reason.Length > 0)
            {
                Report("unreadable-file", new WrittenAt(file, 1, 1), id, "The file cannot be read: " + found.Reason, "Let the service read it, or describe the type in the design.");
            }

            return null;
        }

        JoinedText.Append(joined, name, found.Text);
        if (new YamlTreeReader(file, problems).Read(found.Text) is not { } tree)
        {
            return null;
        }

        var config = TypeFileConfig.Read(new MapReader(tree, DesignKeys.TypeFile, problems));
        Check(config, id);
        return config;
    }

    private void Check(TypeFileConfig config, string id)
    {
        if (config.Format?.Value != Format)
        {
            Report("unknown-format", config.Format?.At ?? config.At, config.Format?.Value ?? "", "The file is not a device type of this format.", $"Write 'format: {Format}' on its first line.");
        }

        if (config.Id?.Value != id)
        {
            Report(
                "unknown-device-type", config.Id?.At ?? config.At, config.Id?.Value ?? "", $"The file of type '{id}' describes another one or none.",
                "Give the file the name of the one type in it: one of 'device-type', 'extender', 'pass-through-switch' or 'injector' with that 'id'.");
        }
    }

    private void Report(string code, WrittenAt at, string value, string message, string remedy) =>
        problems.Add(new DesignProblem(ProblemKind.Error, code, at, "", value, message, remedy));

    private static bool IsWellFormed(string id) =>
        id.Length is >= 1 and <= 64 && char.IsAsciiLetterOrDigit(id[0]) && id.All(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '-' or '_');
}
