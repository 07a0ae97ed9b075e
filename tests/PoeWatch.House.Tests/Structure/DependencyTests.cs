using System.Xml.Linq;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Structure;

/// <summary>The way of data has one direction: a room refers only to the rooms that the table allows.</summary>
public sealed class DependencyTests
{
    [Fact]
    public void Every_project_below_src_stands_in_the_table()
    {
        var projects = Repository.AllFiles.Where(path => path.StartsWith("src/", StringComparison.Ordinal) && path.EndsWith(".csproj", StringComparison.Ordinal));

        Assert.Equal(Room.All.Select(room => room.ProjectFile).Order(), projects.Order());
    }

    [Fact]
    public void Project_files_refer_only_to_the_rooms_that_the_table_allows() => Rule.HoldsFor(
        from room in Room.All
        from used in Includes(room.ProjectFile, "ProjectReference").Select(path => Path.GetFileNameWithoutExtension(path))
        where !room.MayUse.Contains(used)
        select $"{room.ProjectFile} refers to {used}",
        "Speak through a seam in PoeWatch.Monitoring/Abstractions instead.");

    [Fact]
    public void Assemblies_use_only_the_rooms_that_the_table_allows() => Rule.HoldsFor(
        from room in Room.All
        from used in room.Assembly.GetReferencedAssemblies().Select(name => name.Name!)
        where Room.All.Any(other => other.AssemblyName == used) && !room.MayUse.Contains(used)
        select $"{room.AssemblyName} uses {used}",
        "Speak through a seam in PoeWatch.Monitoring/Abstractions instead.");

    [Theory]
    [InlineData("PoeWatch.Domain")]
    [InlineData("PoeWatch.Snmp")]
    public void Domain_and_Snmp_bring_no_package(string project) =>
        Assert.Empty(Includes($"src/{project}/{project}.csproj", "PackageReference"));

    [Fact]
    public void Product_code_meets_the_simulator_only_in_the_demo() => Rule.HoldsFor(
        from file in Repository.Sources("src")
        where !file.Path.StartsWith("src/PoeWatch.Simulator/", StringComparison.Ordinal)
        where !Path.GetFileName(file.Path).StartsWith("Demo", StringComparison.Ordinal)
        from name in file.Tree.DescendantNodes().OfType<QualifiedNameSyntax>()
        where name.ToString() == "PoeWatch.Simulator"
        select file.At(name),
        "Only the demo command's own files may know the simulated world.");

    [Fact]
    public void Domain_has_no_input_no_output_no_logging_and_no_async() => Rule.HoldsFor(
        from file in Repository.Sources("src/PoeWatch.Domain")
        from name in file.Tree.DescendantNodes().OfType<IdentifierNameSyntax>()
        where name.Identifier.Text is "Task" or "ValueTask" or "ILogger" or "FileStream" or "Stream" or "TimeProvider" or "Console" or "Socket"
        select $"{file.At(name)} {name}",
        "Domain is pure: values in, values out; time comes as a parameter.");

    private static IEnumerable<string> Includes(string projectFile, string item) =>
        XDocument.Parse(Repository.Read(projectFile)).Descendants(item).Select(element => element.Attribute("Include")!.Value.Replace('\\', '/'));
}
