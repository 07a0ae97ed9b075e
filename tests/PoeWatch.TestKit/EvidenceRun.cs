using System.Globalization;

namespace PoeWatch.TestKit;

/// <summary>
/// How long a test that draws by chance goes on and where it begins. The everyday run takes the test's own short figures;
/// <c>tests/evidence NAME</c> asks for more through the environment and keeps what the test notes.
/// </summary>
public static class EvidenceRun
{
    /// <summary>Rounds asked for by POEWATCH_EVIDENCE_RUNS; else the everyday number.</summary>
    public static int Rounds(int everyday) => Asked("POEWATCH_EVIDENCE_RUNS") ?? everyday;

    /// <summary>Seed asked for by POEWATCH_EVIDENCE_SEED; else the everyday one. Print it with every failure.</summary>
    public static int Seed(int everyday) => Asked("POEWATCH_EVIDENCE_SEED") ?? everyday;

    /// <summary>Keeps one figure of a finished run, such as <c>Note("datagrams decoded", 1000000)</c>.</summary>
    public static void Note(string what, object figure)
    {
        if (Environment.GetEnvironmentVariable("POEWATCH_EVIDENCE_FILE") is { Length: > 0 } file)
        {
            File.AppendAllText(file, string.Create(CultureInfo.InvariantCulture, $"| {what} | {figure} |\n"));
        }
    }

    private static int? Asked(string variable) =>
        int.TryParse(Environment.GetEnvironmentVariable(variable), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null;
}
