namespace PoeWatch.Server.Composition;

/// <summary>Where the embedded store lies when nobody says otherwise.</summary>
public static class DataFolder
{
    /// <summary>The folder as set, or the user's own data folder.</summary>
    public static string Of(string? set) => set ?? Path.Combine(Root(), "service");

    /// <summary>The demo keeps its own history apart from a real one.</summary>
    public static string OfDemo(string? set) => set ?? Path.Combine(Root(), "demo");

    private static string Root()
    {
        var home = Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData);
        return Path.Combine(home.Length > 0 ? home : Path.GetTempPath(), "poewatch");
    }
}
