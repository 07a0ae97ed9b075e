using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.Text;

namespace PoeWatch.Domain.Tests.Mutations;

/// <summary>Compiles the room once as it stands and then with one file changed at a time.</summary>
internal sealed class MutantBuild
{
    private readonly Dictionary<string, SyntaxTree> _trees = new(StringComparer.Ordinal);
    private readonly CSharpCompilation _asItStands;
    private readonly CSharpParseOptions _parsing = new(LanguageVersion.Latest);

    public MutantBuild(string room)
    {
        var written = Directory.EnumerateFiles(room, "*.cs", SearchOption.AllDirectories)
            .Where(file => !Path.GetRelativePath(room, file).StartsWith("bin", StringComparison.Ordinal) && !Path.GetRelativePath(room, file).StartsWith("obj", StringComparison.Ordinal));
        foreach (var file in written.Order(StringComparer.Ordinal))
        {
            _trees.Add(Path.GetRelativePath(room, file).Replace('\\', '/'), Parsed(file));
        }

        var made = Directory.EnumerateFiles(Path.Combine(room, "obj", "Debug", "net10.0"), "*.cs").Select(Parsed);
        var libraries = ((string)AppContext.GetData("TRUSTED_PLATFORM_ASSEMBLIES")!).Split(Path.PathSeparator)
            .Where(file => Path.GetFileName(file).StartsWith("System.", StringComparison.Ordinal) || Path.GetFileName(file) is "netstandard.dll" or "mscorlib.dll")
            .Select(file => MetadataReference.CreateFromFile(file));
        _asItStands = CSharpCompilation.Create(
            "PoeWatch.Domain",
            [.. _trees.Values, .. made],
            libraries,
            new CSharpCompilationOptions(
                OutputKind.DynamicallyLinkedLibrary, checkOverflow: true, optimizationLevel: OptimizationLevel.Debug));
    }

    /// <summary>All changes of the files in these folders, in the order of the files.</summary>
    public IReadOnlyList<Mutant> MutantsIn(params string[] folders) =>
        [.. _trees.Where(t => folders.Any(f => t.Key.StartsWith(f + "/", StringComparison.Ordinal))).SelectMany(t => MutantFinder.In(t.Key, t.Value))];

    /// <summary>Writes the changed assembly; false where the change does not compile. <c>null</c> writes it as it stands.</summary>
    public bool Write(Mutant? mutant, string assembly)
    {
        var compilation = _asItStands;
        if (mutant is not null)
        {
            var tree = _trees[mutant.File];
            var text = tree.GetText().WithChanges(new TextChange(mutant.Span, mutant.Replacement));
            compilation = compilation.ReplaceSyntaxTree(tree, CSharpSyntaxTree.ParseText(text, _parsing, tree.FilePath));
        }

        using var stream = File.Create(assembly);
        return compilation.Emit(stream).Success;
    }

    private SyntaxTree Parsed(string file) => CSharpSyntaxTree.ParseText(SourceText.From(File.ReadAllText(file)), _parsing, file);
}
