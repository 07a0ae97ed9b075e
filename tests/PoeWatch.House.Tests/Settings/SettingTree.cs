using System.Collections;
using System.Reflection;
using System.Text.Json;
using PoeWatch.Server.Settings;

namespace PoeWatch.House.Tests.Settings;

/// <summary>One setting as people write it.</summary>
/// <param name="Path">Such as <c>polling.maxInFlight</c>.</param>
/// <param name="Default">Its value where nobody sets it.</param>
internal sealed record Setting(string Path, PropertyInfo Property, object? Default);

/// <summary>All settings, found by walking the classes that they are bound to.</summary>
internal static class SettingTree
{
    public static IReadOnlyList<Setting> All { get; } = [.. Walk("", new ServerSettings())];

    /// <summary>The value at a setting's path in settings that were read from somewhere.</summary>
    public static object? ValueOf(Setting setting, ServerSettings settings) =>
        Walk("", settings).Single(other => other.Path == setting.Path).Default;

    /// <summary>Paths of a settings file; what is a list or has names of the user's own counts as one setting.</summary>
    public static IEnumerable<string> PathsOf(JsonElement json, string prefix = "") => json.EnumerateObject().SelectMany(member =>
        member.Value.ValueKind == JsonValueKind.Object && prefix.Length == 0 && member.Name != "credentials"
            ? PathsOf(member.Value, member.Name + ".")
            : [prefix + member.Name]);

    private static IEnumerable<Setting> Walk(string prefix, object part)
    {
        foreach (PropertyInfo property in part.GetType().GetProperties())
        {
            var path = prefix + JsonNamingPolicy.CamelCase.ConvertName(property.Name);
            var value = property.GetValue(part);
            var isGroup = value is not null and not IEnumerable && property.PropertyType.Namespace!.StartsWith("PoeWatch", StringComparison.Ordinal);
            foreach (Setting setting in isGroup ? Walk(path + ".", value!) : [new Setting(path, property, value)])
            {
                yield return setting;
            }
        }
    }
}
