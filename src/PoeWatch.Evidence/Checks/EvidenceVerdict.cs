using System.Collections.Immutable;

namespace PoeWatch.Evidence.Checks;

/// <summary>What a check of an export found. Immutable.</summary>
/// <param name="Faults">What was changed, is missing or out of order; each a sentence that names the place.</param>
/// <param name="MoreFaults">Faults beyond those listed.</param>
/// <param name="Notes">What the check cannot say, or what the export itself says is not in it.</param>
/// <param name="Summary">What the export is of, and what was proven; one line each.</param>
public sealed record EvidenceVerdict(ImmutableArray<string> Faults, int MoreFaults, ImmutableArray<string> Notes, ImmutableArray<string> Summary)
{
    public bool Holds => Faults.IsEmpty;
}

/// <summary>Gathers findings, at most so many. Not thread safe.</summary>
internal sealed class Findings
{
    private const int FaultsMax = 200;

    private readonly List<string> _faults = [];
    private readonly List<string> _notes = [];
    private readonly List<string> _summary = [];
    private int _more;

    public void Fault(string sentence)
    {
        if (_faults.Count < FaultsMax)
        {
            _faults.Add(sentence);
        }
        else
        {
            _more++;
        }
    }

    public void Note(string sentence) => _notes.Add(sentence);

    public void Say(string line) => _summary.Add(line);

    public EvidenceVerdict Verdict() => new([.. _faults], _more, [.. _notes], [.. _summary]);
}
