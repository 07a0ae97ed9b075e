using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Documents;

/// <summary>What a document points at is there.</summary>
public sealed class LinkTests
{
    [Fact]
    public void Relative_links_lead_to_files_of_the_repository() => Rule.HoldsFor(
        from file in MarkdownFile.All
        from target in file.RelativeLinks
        let path = Path.GetRelativePath(".", Path.Combine(Path.GetDirectoryName(file.Path)!, target)).Replace('\\', '/')
        where !Repository.Exists(path)
        select $"{file.Path} -> {target}",
        "Correct the link or bring the file.");
}
