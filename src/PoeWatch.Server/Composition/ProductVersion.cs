using System.Reflection;

namespace PoeWatch.Server.Composition;

/// <summary>Which build this is.</summary>
public static class ProductVersion
{
    /// <summary>Version with the commit where the build knew it.</summary>
    public static string Text { get; } =
        typeof(ProductVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";
}
