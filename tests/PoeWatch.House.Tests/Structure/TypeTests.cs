using System.Reflection;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Structure;

/// <summary>Types are sealed, show no mutable field, and say what they are.</summary>
public sealed class TypeTests
{
    [Fact]
    public void Classes_are_sealed_static_abstract_or_the_base_of_another()
    {
        Type[] all = [.. Room.All.SelectMany(room => room.WrittenTypes)];
        var bases = all.Select(type => type.BaseType is { IsGenericType: true } parent ? parent.GetGenericTypeDefinition() : type.BaseType).ToHashSet();

        Rule.HoldsFor(
            all.Where(type => type is { IsClass: true, IsSealed: false, IsAbstract: false } && !bases.Contains(type)).Select(type => type.FullName!),
            "Seal it: a class is open only where one of ours derives from it.");
    }

    [Fact]
    public void No_type_shows_a_mutable_field() => Rule.HoldsFor(
        from room in Room.All
        from type in room.WrittenTypes
        where !type.IsEnum
        from field in type.GetFields(BindingFlags.Public | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly)
        where !field.IsInitOnly && !field.IsLiteral
        select $"{type.FullName}.{field.Name}",
        "Make it a property, or readonly.");

    [Fact]
    public void Every_public_type_says_what_it_is()
    {
        var declarations = (
            from file in Repository.Sources("src")
            from type in file.Tree.DescendantNodes().OfType<BaseTypeDeclarationSyntax>()
            where IsPublic(type)
            select (Name: $"{Path.GetDirectoryName(file.Path)}/{type.Identifier.Text}", At: file.At(type), HasDoc: HasDoc(type))).ToList();

        Assert.NotEmpty(declarations);
        Rule.HoldsFor(
            from parts in declarations.GroupBy(declaration => declaration.Name)
            where !parts.Any(part => part.HasDoc)
            select $"{parts.First().At} {Path.GetFileName(parts.Key)}",
            "Write a /// summary: what it is, units, range, thread safety.");
    }

    private static bool IsPublic(BaseTypeDeclarationSyntax type) =>
        type.Modifiers.Any(SyntaxKind.PublicKeyword) && (type.Parent is not BaseTypeDeclarationSyntax outer || IsPublic(outer));

    private static bool HasDoc(SyntaxNode type) =>
        type.GetLeadingTrivia().Any(trivia => trivia.IsKind(SyntaxKind.SingleLineDocumentationCommentTrivia));
}
