using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;

namespace DriftWatch.Delivery.Tests.Security;

public sealed class SecretSourceTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_first_line_of_a_file_is_the_secret_and_a_new_one_counts_at_once()
    {
        SecretSource source = _folder.Secret("one\nmore");
        Assert.Equal("one", source.Read());
        File.WriteAllText(source.File!, "two");
        Assert.Equal("two", source.Read());
        Assert.DoesNotContain("two", source.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void What_cannot_be_read_is_told_by_its_field_and_place()
    {
        Assert.Contains("q.password must name either", Assert.Single(new SecretSource().Faults("q.password")), StringComparison.Ordinal);
        Assert.Contains("either", Assert.Single(new SecretSource { File = "a", EnvironmentVariable = "b" }.Faults("q.password")), StringComparison.Ordinal);
        Assert.Contains("DRIFTWATCH_NOT_SET", Assert.Single(new SecretSource { EnvironmentVariable = "DRIFTWATCH_NOT_SET" }.Faults("q.password")), StringComparison.Ordinal);
        Assert.Contains("/nowhere/secret", Assert.Single(new SecretSource { File = "/nowhere/secret" }.Faults("q.password")), StringComparison.Ordinal);
        Assert.Contains("is empty", Assert.Single(_folder.Secret("").Faults("q.password")), StringComparison.Ordinal);
        Assert.Empty(_folder.Secret("good").Faults("q.password"));
    }
}
