using System.Collections.Concurrent;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;

namespace PoeWatch.House.Tests.Support;

/// <summary>One C# file: its text and its syntax tree. Parsed once per run.</summary>
/// <param name="Path">Relative to the repository's root, with forward slashes.</param>
internal sealed record SourceFile(string Path, string Text, SyntaxNode Tree)
{
    private static readonly CSharpParseOptions Options = CSharpParseOptions.Default.WithLanguageVersion(LanguageVersion.Preview);
    private static readonly ConcurrentDictionary<string, SourceFile> Parsed = new();

    public int LineCount => Text.AsSpan().TrimEnd('\n').Count('\n') + 1;

    public static SourceFile Load(string path) => Parsed.GetOrAdd(path, static path =>
    {
        var text = Repository.Read(path);
        return new SourceFile(path, text, CSharpSyntaxTree.ParseText(text, Options).GetRoot());
    });

    /// <summary>Where something stands, as editors read it.</summary>
    public string At(SyntaxNodeOrToken place) => $"{Path}:{place.GetLocation()!.GetLineSpan().StartLinePosition.Line + 1}";

    public string At(SyntaxTrivia place) => $"{Path}:{place.GetLocation().GetLineSpan().StartLinePosition.Line + 1}";
}
